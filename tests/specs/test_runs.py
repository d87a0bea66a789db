"""Runs of tube: measured between neighbours, counted into the take-off, taken over into the spec's lines."""

from decimal import Decimal

import pytest

from builds.specs.gather import facts_of
from builds.specs.models import Run, SpecVersion
from tests.factories import PartFactory, RoleFactory, SpecLineFactory, once

from .rows import ORDER, machine

pytestmark = pytest.mark.django_db
LENGTHS = ["300 mm", "25 cm", "0.45 m", "500"]


@pytest.fixture
def spec():
    return machine()


def address(spec, name, *args):
    return f"/jobs/J-{spec.job.number:04d}/" + {"runs": f"loop/{spec.loops.get().pk}/runs/", "spec": "spec/",
                                                "count": "spec/count/"}[name]  # fmt: skip


def typed(lengths, **more):
    rows = {f"length_mm_{n}": text for n, text in enumerate(lengths)}
    counts = {f"{name}_{n}": "0" for name in ("bends", "angles", "bulkheads") for n in range(len(lengths))}
    return {**rows, **counts, **more}


def measure(client, spec, lengths=LENGTHS, **more):
    return client.post(address(spec, "runs"), once(version=spec.version, **typed(lengths, **more)), follow=True)


def test_all_runs_are_measured_on_one_page(owner_client, spec):
    page = owner_client.get(address(spec, "runs")).text
    assert page.count("<fieldset>") == len(ORDER)
    assert "front radiator → pump" in page, "a loop closes"
    measure(owner_client, spec, bends_0="2", angles_1="1", from_port_0="out", to_port_0="in")
    loop = facts_of(SpecVersion.objects.get(pk=spec.pk)).loops[0]
    assert [run.length_mm for run in loop.runs] == [300.0, 250.0, 450.0, 500.0]
    assert loop.tube_length_mm == 1500.0, "measured runs count instead of the guess"
    assert loop.fitting_loss == pytest.approx(4 * 1.0 + 1.0 + 2 * 0.3)
    assert (loop.runs[0].bends, loop.runs[0].from_port, loop.runs[1].angles) == (2, "out", 1)


def test_the_order_page_says_what_was_measured(owner_client, spec):
    order = f"/jobs/J-{spec.job.number:04d}/loop/order/"
    assert "tube 2000 mm" in owner_client.get(order).text
    measure(owner_client, spec)
    assert "tube 1500 mm" in owner_client.get(order).text
    facts = owner_client.get(f"/jobs/J-{spec.job.number:04d}/loop/{spec.loops.get().pk}/").text
    assert facts.count("Not used: all runs are measured") == 2


def test_a_run_left_open_leaves_the_guess(owner_client, spec):
    measure(owner_client, spec, ["300", "250", "", "500"])
    loop = facts_of(SpecVersion.objects.get(pk=spec.pk)).loops[0]
    assert (loop.runs, loop.tube_length_mm) == ((), 2000.0)
    assert Run.objects.count() == 3


def test_bad_lengths_are_said_and_nothing_is_lost(owner_client, spec):
    page = measure(owner_client, spec, ["300", "five", "-2 mm", "50 W"]).text
    assert Run.objects.count() == 0
    assert 'value="five"' in page
    assert page.count("field wrong") == 3


def test_a_frozen_spec_keeps_its_runs_and_its_copy_has_them(owner_client, owner, spec):
    measure(owner_client, spec)
    spec.refresh_from_db()
    spec.freeze(owner)
    measure(owner_client, spec, ["900", *LENGTHS[1:]])
    new = SpecVersion.objects.current_for(spec.job)
    assert new.number == 2
    assert [run.length_mm for run in new.loops.get().runs.all()] == [900.0, 250.0, 450.0, 500.0]
    assert [run.length_mm for run in spec.loops.get().runs.all()] == [300.0, 250.0, 450.0, 500.0]


def test_another_order_asks_for_its_runs_anew(owner_client, owner, spec):
    measure(owner_client, spec)
    loop = spec.loops.get()
    loop.move(loop.ordered()[1], owner, up=False)
    assert facts_of(SpecVersion.objects.get(pk=spec.pk)).loops[0].runs == ()


def test_a_helper_does_not_change_runs(helper_client, spec):
    assert helper_client.get(address(spec, "runs")).status_code == 403
    assert helper_client.post(address(spec, "count")).status_code == 403


def quantities(spec):
    return {line.role.name: line.quantity for line in spec.lines.select_related("role")}


def test_the_take_off_is_taken_over_with_one_button(owner_client, spec):
    plug = PartFactory(kind="fitting", name="plug", facts={"form": "plug", "thread": "G 1/4"})
    drain = PartFactory(kind="fitting", name="valve", facts={"form": "drain valve", "thread": "G 1/4"})
    for part in (plug, drain):
        SpecLineFactory(spec=spec, part=part, role=RoleFactory(job=spec.job, kind="fitting", name=part.name))
    measure(owner_client, spec, ["1 m", "1 m", "1 m", "1 m"])
    page = owner_client.get(address(spec, "spec")).text
    assert "Take-off" in page
    assert "1.5 m short" in page, "4 m and an eighth against 3 m"
    owner_client.post(address(spec, "count"), once())
    have = quantities(spec)
    assert have["tube"] == Decimal("4.5")
    assert have["fittings"] == 10, "8 ends and two spares"
    assert have["valve"] == 1
    assert "short" not in owner_client.get(address(spec, "spec")).text.split("Take-off")[1].split("</table>")[0]
    again = owner_client.post(address(spec, "count"), once(), follow=True).text
    assert "has these quantities already" in again


def test_on_a_frozen_spec_the_counts_go_into_the_next_version(owner_client, owner, spec):
    spec.freeze(owner)
    before = quantities(spec)
    owner_client.post(address(spec, "count"), once())
    assert quantities(spec) == before
    new = SpecVersion.objects.current_for(spec.job)
    assert new.number == 2
    assert quantities(new)["fittings"] == 10
