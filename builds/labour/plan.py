"""A job's plan made from a pattern and its spec."""

from django.db import transaction

from builds.jobs.models import Job
from builds.specs.models import Step
from parts.workshop import audit

from .counts import counts_of
from .estimates import learnt
from .models import Need, Precedes, Task, network_of
from .network import before_all, bridged


def spec_counts(spec):
    """How many of each counted thing a spec version holds (see counts.counts_of)."""
    lines = spec.lines.values_list("part__kind", "quantity")
    return counts_of(lines, Step.objects.filter(loop__spec=spec).count())


@transaction.atomic
def lay_out(job, spec, pattern, by):
    """Make a job's tasks from a pattern, scaled by what its spec holds; the tasks that are new.

    Hours are the workshop's own where five finished jobs have taught them, else the pattern's; the task remembers
    which. Repeating it adds what is missing and gives tasks whose hours nobody touched the spec's present counts;
    it takes nothing away and overwrites nothing typed by hand. Steps that count something the spec has none
    of are left out, and what followed them follows what they followed.
    """
    Job.objects.select_for_update().get(pk=job.pk)
    counts = spec_counts(spec)
    steps = {step.pk: step for step in pattern.tasks.prefetch_related("after")}
    follows = {pk: [before.pk for before in step.after.all()] for pk, step in steps.items()}
    kept = {pk for pk, step in steps.items() if counts[step.per]}
    tasks = {task.pattern_task_id: task for task in job.tasks.filter(pattern_task__in=steps)}
    own = {pk: learnt(hours) for pk, hours in Task.objects.own_hours(pattern).items()}
    recounted = [pk for pk in kept & tasks.keys() if _recount(tasks[pk], steps[pk], counts[steps[pk].per], own.get(pk))]
    new = [pk for pk in steps if pk in kept - tasks.keys()]
    for pk in new:
        tasks[pk] = _task_of(job, steps[pk], counts[steps[pk].per], own.get(pk))
    _put_in_order(job, tasks, bridged(follows, kept), set(new))
    _need(spec, tasks, steps)
    if new or recounted:
        said = {"pattern": str(pattern), "spec": str(spec), "tasks": len(new), "recounted": len(recounted)}
        said["own hours"] = sum(1 for pk in [*new, *recounted] if tasks[pk].laid_jobs)
        audit.record(by, "laid out the plan", f"job {job}", after=said)
    return [tasks[pk] for pk in new]


def _task_of(job, step, count, own):
    return Task.objects.create(
        job=job, pattern_task=step, name=step.name, work_kind_id=step.work_kind_id, position=step.position,
        caution=step.caution, proves=step.proves, **_estimate(step, count, own),
    )  # fmt: skip


def _estimate(step, count, own):
    hours = step.hours_for(count, own)
    jobs = own.jobs if own and own.is_enough else 0
    return {"count": count, "laid_hours": hours["hours_likely"], "laid_jobs": jobs, **hours}


def _recount(task, step, count, own):
    """Scale a task whose hours nobody has touched to a new count; whether it changed."""
    if task.is_done or task.count == count or not _is_untouched(task, step):
        return False
    estimate = _estimate(step, count, own)
    for name, value in estimate.items():
        setattr(task, name, value)
    task.save(update_fields=list(estimate))
    return True


def _is_untouched(task, step):
    if task.laid_hours is not None:
        return task.hours_likely == task.laid_hours
    # Laid out before tasks remembered it: still the pattern's figures.
    return all(getattr(task, name) == hours for name, hours in step.hours_for(task.count).items())


def _put_in_order(job, tasks, follows, new):
    """Predecessors of the new tasks, and new predecessors of old ones; an order a person has set stays."""
    edges = network_of(job)
    found = []
    for after, befores in follows.items():
        for before in befores:
            first, then = tasks[before].pk, tasks[after].pk
            wanted = (after in new or before in new) and first not in edges[then]
            if wanted and then not in before_all(edges, first):
                edges[then].append(first)
                found.append(Precedes(before_id=first, after_id=then))
    Precedes.objects.bulk_create(found)


def _need(spec, tasks, steps):
    roles = {}
    for role, kind in spec.lines.values_list("role", "part__kind"):
        roles.setdefault(kind, []).append(role)
    wanted = {
        (task.pk, role) for pk, task in tasks.items() for kind in steps[pk].needs_kinds for role in roles.get(kind, ())
    }
    had = set(Need.objects.filter(task__in=[task.pk for task in tasks.values()]).values_list("task", "role"))
    Need.objects.bulk_create([Need(task_id=task, role_id=role) for task, role in sorted(wanted - had)])
