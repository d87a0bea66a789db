"""What if one part were here: a job placed anew while all other work stays where it is. Pure."""

from .schedule import Person, place_earliest


def end_without(plan, job, part):
    """The moment a job would end if `part` lay here already, everybody's other work as in the plan."""
    ours = plan.of_jobs[job]
    people = [
        Person(plan.time, row, _free_with(person, [one for one in ours if one.person == row]))
        for row, person in enumerate(plan.people)
    ]
    ends = {}
    for one in ours:
        waits = [arrival for arrival in one.piece.arrivals if arrival[2] is not part]
        ready = max((ends[before] for before in one.piece.after if before in ends), default=0)
        ready = max([ready, *(plan.time.moment(day) for day, *_ in waits)])
        end = ready
        if one.work:
            who, start, end, stretch = place_earliest(people, ready, one.work)
            people[who].take(start, end, stretch, 1)
        ends[one.piece.key] = end
    return max(ends[one.piece.key] + (not one.work) for one in ours)


def _free_with(person, given_up):
    """A person's free stretches, with the tasks given up added and stretches that touch made one."""
    found = []
    for start, end in sorted([*zip(person.starts, person.ends, strict=True), *((o.start, o.end) for o in given_up)]):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found
