from decimal import Decimal

import pytest

from builds.labour.models import Need, PatternTask, Precedes, network_of
from builds.labour.network import in_order
from builds.labour.plan import lay_out
from builds.labour.seeding import USUAL, load_pattern
from parts.workshop.models import AuditEntry
from tests.factories import JobFactory, LoopFactory, PartFactory, SpecLineFactory, SpecVersionFactory, StepFactory

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
