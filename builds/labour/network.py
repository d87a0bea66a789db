"""Which task comes before which: circles found, orders made. Pure."""

from graphlib import CycleError, TopologicalSorter


class Circle(ValueError):
    """Tasks that wait for each other. `path` names them in order; the first is the last."""

    def __init__(self, path):
        self.path = list(path)
        super().__init__(" → ".join(str(step) for step in self.path))


def in_order(follows):
    """All tasks, each after everything it follows; where the network leaves a choice, as given.

    follows: {task: tasks it comes after}. A task that stands only among the predecessors counts too.
    Raises Circle.

    >>> in_order({"fill": ["plumb"], "plumb": ["blocks", "rinse"], "rinse": [], "blocks": []})
    ['rinse', 'blocks', 'plumb', 'fill']
    """
    sorter = TopologicalSorter(follows)
    try:
        sorter.prepare()
    except CycleError as error:
        # graphlib lists each step as a predecessor of the next, so the path reads from first to last.
        raise Circle(error.args[1]) from None
    place = {task: number for number, task in enumerate(follows)}
    done = []
    while sorter.is_active():
        free = sorted(sorter.get_ready(), key=lambda task: place.get(task, -1))
        done += free
        sorter.done(*free)
    return done


def bridged(follows, kept):
    """The network without the tasks that are not in `kept`: their predecessors stand in for them.

    >>> bridged({"plumb": ["rinse"], "rinse": ["tap"], "tap": []}, {"plumb", "tap"})
    {'plumb': ['tap'], 'tap': []}
    """
    upstream = {}
    for task in in_order(follows):
        found = {}
        for before in follows.get(task, ()):
            found.update(dict.fromkeys([before] if before in kept else upstream[before]))
        upstream[task] = list(found)
    return {task: upstream[task] for task in follows if task in kept}


def before_all(follows, task):
    """Everything that has to be done before a task, near or far.

    >>> sorted(before_all({"fill": ["plumb"], "plumb": ["rinse"], "rinse": []}, "fill"))
    ['plumb', 'rinse']
    """
    found, open_ = set(), list(follows.get(task, ()))
    while open_:
        step = open_.pop()
        if step not in found:
            found.add(step)
            open_ += follows.get(step, ())
    return found
