"""The job card that hangs at the bench: the plan with its cautions and parts, and the loop's drawing."""

from django.utils.translation import gettext as _

from builds.checks.heat import operating
from builds.plots.paper import data_uri
from builds.specs.gather import facts_of
from builds.specs.loop_drawn import drawings
from builds.specs.models import SpecVersion

from .days import said
from .models import Need, network_of
from .outlook import job_tally
from .readiness import task_states
from .rows import hours_text, missing_text


def card_of(job, workshop, today):
    """What the card says of a job; neither prices nor the client."""
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    states = task_states([job])[job.pk]
    return {
        "title": _("Job card %(job)s") % {"job": job}, "job": job, "workshop": workshop, "today": said(today),
        "spec": spec, "promise": said(job.promise) if job.promise else "–",
        "left": hours_text(job_tally(states).left), "tasks": _tasks(job, spec, states, today),
        "loops": _loops(spec, workshop) if spec else [],
    }  # fmt: skip


def _tasks(job, spec, states, today):
    numbers = {state.task.pk: number for number, state in enumerate(states, 1)}
    edges, needs = network_of(job), _needs(job, spec)
    return [
        {
            "number": number, "task": state.task, "hours": hours_text(state.task.hours_likely),
            "at_worst": hours_text(state.task.hours_high),
            "after": ", ".join(str(numbers[pk]) for pk in sorted(edges[state.task.pk], key=numbers.get)),
            "needs": needs.get(state.task.pk, []), "missing": [missing_text(part, today) for part in state.missing],
        }
        for number, state in enumerate(states, 1)
    ]  # fmt: skip


def _needs(job, spec):
    """{task id: [{"role", "part"}]} of what each task needs on the bench, by the spec's lines: "3 × fan 120"."""
    lines = spec.lines.values_list("role", "quantity", "part__name") if spec else ()
    parts = {role: name if many == 1 else f"{many.normalize():f} × {name}" for role, many, name in lines}
    found = {}
    needed = Need.objects.filter(task__job=job).order_by("role__position", "role")
    for task, role, name in needed.values_list("task", "role", "role__name"):
        if role in parts:
            found.setdefault(task, []).append({"role": name, "part": parts[role]})
    return found


def _loops(spec, workshop):
    build = facts_of(spec, workshop)
    drawn = [(loop.name, drawings(build, operating(build, loop))[0]) for loop in build.loops if loop.steps]
    return [{"name": name, "picture": data_uri(wide)} for name, wide in drawn if wide]
