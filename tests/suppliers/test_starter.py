"""The starter catalogue of generic parts: what is in it, and the one button that loads it."""

import json
import re

import pytest
from django.urls import reverse

from parts.catalogue.models import Fact, Part
from parts.kinds import all_kinds, get_kind, read_fact
from parts.suppliers.seeding import STARTER
from tests.factories import PartFactory, once

ROWS = json.loads(STARTER.read_text())["parts"]
BUTTON = reverse("catalogue:starter")


def test_it_holds_at_least_120_parts_of_every_kind():
    assert len(ROWS) >= 120
    assert {row["kind"] for row in ROWS} == set(all_kinds())
    assert len({(row["kind"], row["name"]) for row in ROWS}) == len(ROWS)


@pytest.mark.parametrize("row", [pytest.param(row, id=f"{row['kind']}: {row['name']}") for row in ROWS])
def test_each_fact_is_one_that_its_kind_takes_and_none_contradicts(row):
    kind = get_kind(row["kind"])
    values = {name: read_fact(kind.fact(name), text) for name, text in row["facts"].items()}
    assert kind.contradictions(values) == []


def test_what_can_ruin_or_hurt_is_not_told_from_memory():
    """A clear depth, a pressure limit, a socket or a board's design must be measured or read, never remembered."""
    asked = {"screw_depth", "max_pressure", "socket", "sockets", "board_design"}
    for row in ROWS:
        assert row["kind"] == "fan" or not asked & set(row["facts"]), row["name"]


def test_radiators_are_as_long_as_their_fans_and_fans_as_wide_as_their_name():
    for row in ROWS:
        sizes = re.search(r"(\d+) × (\d+)", row["name"])
        if row["kind"] == "radiator":
            assert (row["facts"]["sections"], row["facts"]["section_size"]) == (sizes[1], f"{sizes[2]} mm")
        if row["kind"] == "fan":
            assert (row["facts"]["size"], row["facts"]["thickness"]) == (f"{sizes[1]} mm", f"{sizes[2]} mm")


def test_one_button_loads_it_once(owner_client):
    own = PartFactory(kind="radiator", name="Radiator 3 × 120, 30 mm", facts={"thickness": 29.4})
    page = owner_client.post(BUTTON, once(), follow=True).content.decode()
    assert f"{len(ROWS) - 1} generic parts were added." in page
    assert set(Fact.objects.exclude(part=own).values_list("origin", flat=True)) == {Fact.TYPICAL}
    own.refresh_from_db()
    assert own.fact("thickness") == 29.4
    assert own.fact("sections") is None
    page = owner_client.post(BUTTON, once(), follow=True).content.decode()
    assert "is here already" in page
    assert Part.objects.count() == len(ROWS)


def test_it_is_offered_on_the_workshops_page_and_in_an_empty_catalogue(owner_client):
    for name in ("workshop:settings", "catalogue:list"):
        assert BUTTON in owner_client.get(reverse(name)).content.decode()


def test_a_helper_does_not_load_it(helper_client):
    assert helper_client.post(BUTTON, once()).status_code == 403
    assert BUTTON not in helper_client.get(reverse("catalogue:list")).content.decode()
