"""Where a loop is highest and lowest, filled and drained: told by four choices, no heights."""

import pytest

from builds.specs.gather import facts_of
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of
from tests.factories import JobFactory, once

from .rows import machine, queries

pytestmark = pytest.mark.django_db


@pytest.fixture
def spec():
    return machine()


def address(spec):
    return f"/jobs/J-{spec.job.number:04d}/loop/{spec.loops.get().pk}/filling/"


def tell(client, spec, **roles):
    keys = {name: spec.job.roles.get(name=role).pk for name, role in roles.items()}
    return client.post(address(spec), once(version=spec.version, **keys), follow=True)


def told(spec):
    loop = facts_of(SpecVersion.objects.get(pk=spec.pk)).loops[0]
    return loop.highest, loop.filled_at, loop.lowest, loop.drained_at


def fill_said(spec):
    return [f.sentence for f in findings_of(SpecVersion.objects.get(pk=spec.pk)) if f.rule == "fill"]


def test_four_choices_settle_it(owner_client, spec):
    assert len(fill_said(spec)) == 2, "highest and lowest point are asked for"
    page = tell(owner_client, spec, highest="pump", lowest="front radiator", drained_at="front radiator").text
    assert told(spec) == ("pump", "", "front radiator", "front radiator")
    assert "highest point" in page
    assert "lowest point, drained here" in page
    assert fill_said(spec) == []


def test_a_radiator_above_the_reservoir_stands_beside_its_row(owner_client, spec):
    tell(owner_client, spec, highest="front radiator", lowest="pump", drained_at="pump")
    assert "is its highest point: air stays there" in fill_said(spec)[0]
    assert "air stays there" in owner_client.get(f"/jobs/J-{spec.job.number:04d}/spec/").text


def test_what_is_no_part_of_the_loop_is_refused(owner_client, spec):
    page = tell(owner_client, spec, highest="tube").text
    assert told(spec) == ("", "", "", "")
    assert "field wrong" in page


def test_a_frozen_spec_keeps_its_points_and_its_copy_has_them(owner_client, owner, spec):
    tell(owner_client, spec, highest="pump", lowest="front radiator", drained_at="front radiator")
    spec.refresh_from_db()
    spec.freeze(owner)
    tell(owner_client, spec, highest="front radiator", lowest="front radiator", drained_at="front radiator")
    new = SpecVersion.objects.current_for(spec.job)
    assert new.number == 2
    assert told(new) == ("front radiator", "", "front radiator", "front radiator")
    assert told(spec)[0] == "pump"


def test_a_part_taken_out_of_the_loop_is_no_point_of_it(owner_client, owner, spec):
    tell(owner_client, spec, highest="pump", lowest="front radiator", drained_at="front radiator")
    loop = spec.loops.get()
    loop.take_out(loop.ordered()[-1], owner)
    assert told(spec) == ("pump", "", "", "")


def test_a_helper_does_not_tell_it(helper_client, spec):
    assert helper_client.get(address(spec)).status_code == 403
    assert helper_client.post(address(spec)).status_code == 403


def test_the_page_asks_a_constant_number_of_queries(owner_client, spec):
    assert queries(owner_client, address(spec)) <= 20


def test_another_job_gets_points_screws_and_feeds_of_its_own(owner, spec):
    loop = spec.loops.get()
    steps = {step.line.role.name: step for step in loop.ordered()}
    loop.mark(owner, highest=steps["pump"])
    steps["front radiator"].alter(owner, screws=spec.job.roles.get(name="fittings"))
    fans = spec.lines.get(role__name="front fans")
    spec.put(fans.role, fans.part, owner, fed_from=spec.job.roles.get(name="main board"),
             feeds=spec.job.roles.get(name="case"))  # fmt: skip
    new = spec.copy_to(JobFactory(), owner)
    copied = new.loops.get()
    assert copied.highest.line.role.job == new.job
    assert {step.screws.job for step in copied.steps.all() if step.screws} == {new.job}
    line = new.lines.get(role__name="front fans")
    assert (line.fed_from.job, line.feeds.job) == (new.job, new.job)


def test_points_told_anew_stand_among_what_changed(owner_client, owner, spec):
    tell(owner_client, spec, highest="pump", lowest="front radiator", drained_at="front radiator")
    spec.refresh_from_db()
    new = spec.copy(owner)
    loop = new.loops.get()
    loop.mark(owner, highest={step.line.role.name: step for step in loop.ordered()}["front radiator"])
    page = owner_client.get(f"/jobs/J-{spec.job.number:04d}/spec/versions/1/?against=2").text
    assert "highest point: pump" in page
    assert "highest point: front radiator" in page
    assert "drained here:" not in page, "what stayed is not told"
