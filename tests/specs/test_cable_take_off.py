"""What the cable book's cables take goes into the spec's lines, and so into the quote and the orders."""

from decimal import Decimal

import pytest

from builds.gathering.gathered import gather
from builds.quotes.models import Quote
from builds.specs.cables import Cable, PinOut
from builds.specs.gather import facts_of
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of
from tests.factories import PartFactory, RoleFactory, SpecLineFactory, once

from .rows import machine
from .test_cables import MAP

pytestmark = pytest.mark.django_db
PLUG = "graphics 2×4"
LINES = {
    "black wire": ("wire", {"form": "wire", "gauge": 18.0, "colour": "black"}),
    "yellow wire": ("wire", {"form": "wire", "gauge": 18.0, "colour": "yellow"}),
    "sleeve": ("wire", {"form": "sleeve"}),
    "terminals": ("consumable", {"form": "terminals"}),
    "housings": ("consumable", {"form": "housing", "connector": PLUG}),
}


@pytest.fixture
def spec(owner):
    spec = machine()
    supply = spec.lines.get(role__name="power supply")
    Cable(spec=spec).alter(owner, name="graphics cable", supply=supply.role, supply_connector=PLUG,
                           device=spec.job.roles.get(name="graphics board"), device_connector=PLUG, awg=18,
                           routed_mm=600.0)  # fmt: skip
    return spec


def lines_for_it(spec):
    for name, (kind, facts) in LINES.items():
        part = PartFactory(kind=kind, name=name, facts=facts)
        SpecLineFactory(spec=spec, part=part, role=RoleFactory(job=spec.job, kind=kind, name=name))


def sign(spec, owner):
    supply = spec.lines.get(role__name="power supply").part
    found = PinOut(part=supply, supply_connector=PLUG, device_connector=PLUG)
    found.fill(MAP, owner)
    found.sign(owner)


def fresh(spec):
    return SpecVersion.objects.get(pk=spec.pk)


def quantities(spec):
    return {line.role.name: line.quantity for line in spec.lines.select_related("role") if line.role.name in LINES}


def page(client, spec):
    return client.get(f"/jobs/J-{spec.job.number:04d}/spec/").text


def take_over(client, spec):
    client.post(f"/jobs/J-{spec.job.number:04d}/spec/count/", once())


def test_a_cable_is_counted_for_buying_before_its_map_is_signed(owner, spec):
    cable = facts_of(fresh(spec)).cables[0]
    assert cable.terminals == 16, "two a wire while nobody knows which are doubled"
    sign(spec, owner)
    cable = facts_of(fresh(spec)).cables[0]
    assert cable.terminals == 13, "8 at the device and 5 at the supply"
    assert cable.wires == ((18, "black", 3.175), (18, "yellow", 1.905))


def test_what_cables_take_stands_in_the_take_off_and_goes_into_the_lines(owner_client, spec):
    lines_for_it(spec)
    before = page(owner_client, spec).split("Take-off")[1]
    assert "wire, AWG 18, black" in before
    assert "2.6 m short" in before, "3.175 m and an eighth, in full tenths, less the one metre there is"
    take_over(owner_client, spec)
    assert quantities(spec) == {
        "black wire": Decimal("3.6"), "yellow wire": Decimal("2.2"), "sleeve": Decimal("5.4"), "terminals": 18,
        "housings": 2,
    }  # fmt: skip
    rest = [f for f in findings_of(fresh(spec)) if f.rule == "cable take-off"]
    assert [f.sentence for f in rest] == ["Heat-shrink: the cables take 0.3 m with spares, and the spec has none."]


def test_from_the_lines_it_reaches_the_quote(owner_client, owner, spec):
    lines_for_it(spec)
    take_over(owner_client, spec)
    draft = Quote.draft(spec.job, fresh(spec), owner)
    quoted = {line.role.name: line.quantity for line in draft.lines.select_related("role") if line.role}
    assert {name: quoted[name] for name in LINES} == quantities(spec)


def test_and_the_buy_list(owner_client, owner, spec):
    lines_for_it(spec)
    take_over(owner_client, spec)
    spec = fresh(spec)
    spec.agreed_at = spec.made_at
    spec.save(update_fields=["agreed_at"])
    wanted = {row.line.role.name: row.to_buy for row in gather(spec.job).rows}
    assert {name: wanted[name] for name in LINES} == quantities(spec)


def test_a_missing_role_is_one_button_away(owner_client, spec):
    assert 'value="wire, AWG 18, black"' in page(owner_client, spec)
    url = f"/jobs/J-{spec.job.number:04d}/spec/"
    said = {"kind": "wire", "name": "wire, AWG 18, black", "version": fresh(spec).version}
    chosen = owner_client.post(url, once(**said), follow=True).text
    assert "Choose a wire or sleeve" in chosen
    assert spec.job.roles.get(name="wire, AWG 18, black").kind == "wire"


def test_a_spec_without_cables_has_nothing_of_it(owner_client):
    assert "AWG" not in page(owner_client, machine())
