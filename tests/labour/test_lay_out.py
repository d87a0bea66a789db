from datetime import timedelta
from decimal import Decimal

import numpy as np
import pytest
from django.urls import reverse
from django.utils import timezone

from builds.labour.models import HoursEntry, Need, PatternTask, Precedes, Task, network_of
from builds.labour.network import in_order
from builds.labour.plan import lay_out
from builds.labour.seeding import USUAL, load_pattern
from parts.workshop.models import AuditEntry
from tests.factories import (
    JobFactory,
    LoopFactory,
    PartFactory,
    PersonFactory,
    SpecLineFactory,
    SpecVersionFactory,
    StepFactory,
    TaskFactory,
    once,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def pattern():
    return load_pattern(USUAL)


def spec_of(job=None, number=1, **quantities):
    spec = SpecVersionFactory(job=job or JobFactory(), number=number)
    for kind, quantity in quantities.items():
        SpecLineFactory(spec=spec, part=PartFactory(kind=kind), quantity=quantity)
    return spec


WET = {"case": 1, "radiator": 2, "fan": 6, "pump_reservoir": 1, "processor_block": 1, "fitting": 14, "tube": 2}


def test_hours_follow_what_the_spec_holds(owner, pattern):
    spec = spec_of(**WET, cable=5)
    lay_out(spec.job, spec, pattern, owner)
    by_name = {task.name: task for task in spec.job.tasks.all()}
    rinse, cables, plumb = by_name["Rinse radiators"], by_name["Make cables"], by_name["Plumb the loop"]
    assert (rinse.count, rinse.hours_low, rinse.hours_likely, rinse.hours_high) == (
        2, Decimal("0.5"), Decimal("0.8"), Decimal("1.4"),
    )  # fmt: skip
    assert (cables.count, cables.hours_likely) == (5, Decimal("3.5"))
    # two radiators, a pump with reservoir and a block in a loop: four tubes between four components
    assert plumb.count == 4


def finished(pattern, name, hours, count=1):
    """A job of another time on which a step took so long."""
    step = pattern.tasks.get(name=name)
    task = TaskFactory(job=JobFactory(), pattern_task=step, name=name, count=count, done_at=timezone.now())
    begun = timezone.now() - timedelta(days=3 * Task.objects.count())
    HoursEntry.objects.create(
        task=task, person=PersonFactory(), started_at=begun, ended_at=begun + timedelta(hours=hours)
    )


def test_own_hours_of_five_finished_jobs_stand_for_the_patterns(owner, pattern):
    for hours in (1, 2, 3, 4):
        finished(pattern, "Rinse radiators", hours, count=2)
        finished(pattern, "Pack", hours)
    finished(pattern, "Rinse radiators", 20, count=2)
    spec = spec_of(**WET)
    lay_out(spec.job, spec, pattern, owner)
    rinse, pack = spec.job.tasks.get(name="Rinse radiators"), spec.job.tasks.get(name="Pack")
    each = [0.5, 1, 1.5, 2, 10]
    # Two radiators; the percentile as NumPy reckons it.
    assert float(rinse.hours_likely) == 2 * np.median(each)
    assert float(rinse.hours_high) == pytest.approx(2 * np.quantile(each, 0.8))
    assert rinse.hours_low <= rinse.hours_likely <= rinse.hours_high
    assert rinse.laid_jobs == 5
    assert (pack.hours_likely, pack.laid_jobs) == (pattern.tasks.get(name="Pack").hours_likely, 0), "four jobs only"
    assert spec.job.tasks.own_estimates() == {rinse.pk: 5}


def test_own_hours_follow_a_new_count_and_typed_ones_stay(owner, pattern):
    for hours in (1, 2, 3, 4, 5):
        finished(pattern, "Rinse radiators", hours)
        finished(pattern, "Mount radiators and fans", hours)
    first = spec_of(**WET)
    lay_out(first.job, first, pattern, owner)
    mount = first.job.tasks.get(name="Mount radiators and fans")
    Task.objects.filter(pk=mount.pk).update(hours_likely=Decimal("6.5"), hours_high=Decimal(12))
    later = spec_of(job=first.job, number=2, **{**WET, "radiator": 3})
    lay_out(first.job, later, pattern, owner)
    rinse = first.job.tasks.get(name="Rinse radiators")
    mount.refresh_from_db()
    assert (rinse.count, rinse.hours_likely, rinse.laid_jobs) == (3, Decimal(9), 5)
    assert (mount.count, mount.hours_likely) == (2, Decimal("6.5"))
    assert mount.pk not in first.job.tasks.own_estimates()


def test_the_plan_says_what_its_estimates_rest_on(owner_client, owner, pattern):
    for hours in (1, 2, 3, 4, 5):
        finished(pattern, "Rinse radiators", hours)
    spec = spec_of(**WET)
    lay_out(spec.job, spec, pattern, owner)
    rinse = spec.job.tasks.get(name="Rinse radiators")
    sheet = owner_client.get(reverse("labour:plan", args=[spec.job.number])).content.decode()
    assert "One estimate is the workshop’s own" in sheet
    assert sheet.count("estimate: own hours of 5 jobs") == 1
    form = owner_client.get(reverse("labour:task_edit", args=[rinse.pk]))
    assert "estimate: own hours of 5 jobs" in form.content.decode()
    typed = {name: value for name, value in form.context["form"].initial.items() if value is not None}
    owner_client.post(
        reverse("labour:task_edit", args=[rinse.pk]), once(**{**typed, "version": rinse.version, "hours_likely": "5"})
    )
    rinse.refresh_from_db()
    assert (rinse.hours_likely, rinse.laid_hours) == (5, None)
    sheet = owner_client.get(reverse("labour:plan", args=[spec.job.number])).content.decode()
    assert "own hours of" not in sheet


def test_a_drawn_loop_says_how_many_runs_there_are(owner, pattern):
    spec = spec_of(**WET)
    loop = LoopFactory(spec=spec)
    for line in spec.lines.filter(role__kind__in=["radiator", "processor_block", "pump_reservoir"]):
        StepFactory(loop=loop, line=line)
    lay_out(spec.job, spec, pattern, owner)
    assert spec.job.tasks.get(name="Plumb the loop").count == 3


def test_steps_that_count_nothing_are_left_out_and_bridged(owner, pattern):
    spec = spec_of(case=1, board=1)
    lay_out(spec.job, spec, pattern, owner)
    names = set(spec.job.tasks.values_list("name", flat=True))
    assert not names & {"Rinse radiators", "Make cables", "Fit blocks", "Plumb the loop"}
    air = spec.job.tasks.get(name="Air test")
    assert {link.before.name for link in air.follows.all()} >= {"Mount pump and reservoir"}
    assert len(in_order(network_of(spec.job))) == len(names)


def test_each_task_needs_the_roles_of_its_kinds(owner, pattern):
    spec = spec_of(**WET)
    lay_out(spec.job, spec, pattern, owner)
    plumb = spec.job.tasks.get(name="Plumb the loop")
    assert {need.role.kind for need in plumb.needs.all()} == {"tube", "fitting"}


def test_laying_out_again_adds_only_what_is_missing(owner, pattern):
    spec = spec_of(**WET)
    first = lay_out(spec.job, spec, pattern, owner)
    spec.job.tasks.filter(name="Pack").update(hours_likely=Decimal("9.99"))
    counted = Precedes.objects.count(), Need.objects.count(), AuditEntry.objects.count()
    assert lay_out(spec.job, spec, pattern, owner) == []
    assert spec.job.tasks.count() == len(first)
    assert (Precedes.objects.count(), Need.objects.count(), AuditEntry.objects.count()) == counted
    assert spec.job.tasks.get(name="Pack").hours_likely == Decimal("9.99")


def test_a_later_spec_brings_its_new_tasks_needs_and_counts(owner, pattern):
    first = spec_of(**WET)
    lay_out(first.job, first, pattern, owner)
    first.job.tasks.filter(name="Mount radiators and fans").update(hours_likely=Decimal(3))
    later = spec_of(job=first.job, number=2, **{**WET, "radiator": 3, "cable": 4, "graphics_block": 1})
    new = lay_out(first.job, later, pattern, owner)
    assert {task.name for task in new} == {"Make cables"}
    cables = first.job.tasks.get(name="Make cables")
    assert [link.after.name for link in cables.leads_to.all()] == ["Lay and dress cables"]
    assert first.job.tasks.get(name="Fit blocks").count == 2
    assert first.job.tasks.get(name="Rinse radiators").hours_likely == Decimal("1.2")
    by_hand = first.job.tasks.get(name="Mount radiators and fans")
    assert (by_hand.count, by_hand.hours_likely) == (2, Decimal(3)), "hours typed by hand stay"
    assert first.job.tasks.get(name="Fit blocks").needs.filter(role__kind="graphics_block").exists()


def test_an_order_set_by_hand_is_never_turned_into_a_circle(owner, pattern):
    spec = spec_of(**WET)
    lay_out(spec.job, spec, pattern, owner)
    spec.job.tasks.get(name="Rinse radiators").delete()
    mount, tap = spec.job.tasks.get(name="Mount radiators and fans"), spec.job.tasks.get(name="Re-tap radiator threads")
    tap.follow([mount], owner)
    lay_out(spec.job, spec, pattern, owner)
    assert len(in_order(network_of(spec.job))) == spec.job.tasks.count()
    assert [link.before for link in tap.follows.all()] == [mount]


def test_it_is_written_down(owner, pattern):
    spec = spec_of(**WET)
    lay_out(spec.job, spec, pattern, owner)
    entry = AuditEntry.objects.get(verb="laid out the plan")
    assert (entry.person, entry.about) == (owner, f"job {spec.job}")


def test_every_caution_of_the_pattern_reaches_the_task(owner, pattern):
    spec = spec_of(**WET)
    lay_out(spec.job, spec, pattern, owner)
    fill = spec.job.tasks.get(name="Fill and bleed")
    assert fill.proves == "fill"
    assert "unplugged" in fill.caution
    assert PatternTask.objects.get(name="Air test").caution == spec.job.tasks.get(name="Air test").caution
