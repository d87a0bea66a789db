"""Which parts of the catalogue could take a role, and why the others could not."""

import pytest
from django.urls import reverse

from builds.specs.candidates import MOST, candidates
from builds.specs.models import Role
from parts.shelf.models import Stock, Tray
from tests.factories import PartFactory, PlaceFactory

from .rows import PARTS, machine

pytestmark = pytest.mark.django_db
RADIATOR = PARTS["front radiator"][2]


@pytest.fixture
def spec():
    return machine()


def tried(spec, name, words=""):
    found, _count = candidates(spec, Role.objects.get(job=spec.job, name=name), words)
    return {one.part.name: one for one in found}


def test_what_fits_says_so_and_the_rest_says_why_not(spec):
    PartFactory(kind="radiator", name="slim", facts={**RADIATOR, "thickness": 28.0})
    PartFactory(kind="radiator", name="thick", facts={**RADIATOR, "thickness": 60.0})
    PartFactory(kind="radiator", name="alloy", facts={**RADIATOR, "wetted_metals": "aluminium"})
    PartFactory(kind="radiator", name="wide", facts={**RADIATOR, "section_size": 140.0})
    found = tried(spec, "front radiator")
    assert (found["slim"].fits, found["slim"].unknown) == (True, ())
    assert "85 mm deep" in found["thick"].stops[0].sentence
    assert "aluminium" in found["alloy"].stops[0].sentence.casefold()
    assert "eaten" in found["alloy"].stops[0].sentence
    assert any("3×140" in finding.sentence for finding in found["wide"].stops)
    assert next(iter(found)) in {"slim", f"Saltmarsh front radiator {spec.job.number}"}


def test_a_board_of_another_design_does_not_fit_the_block(spec):
    PartFactory(kind="graphics", name="other board", facts={**PARTS["graphics board"][2], "board_design": "K9"})
    found = tried(spec, "graphics board")
    assert "board design K9" in found["other board"].stops[0].sentence


def test_a_hungry_board_is_told_by_the_supply(spec):
    PartFactory(kind="graphics", name="furnace", facts={**PARTS["graphics board"][2], "heat": 900.0})
    assert any("850 W" in finding.sentence for finding in tried(spec, "graphics board")["furnace"].stops)


def test_what_is_not_known_does_not_pass_as_fitting(spec):
    PartFactory(kind="radiator", name="unread")
    assert "thickness" in tried(spec, "front radiator")["unread"].unknown


def test_it_is_found_by_words_and_bounded(spec):
    for n in range(MOST + 5):
        PartFactory(kind="radiator", name=f"slim {n}", facts=RADIATOR)
    role = Role.objects.get(job=spec.job, name="front radiator")
    found, count = candidates(spec, role, "slim")
    assert (len(found), count) == (MOST, MOST + 5)
    assert len(candidates(spec, role, "slim 34")[0]) == 1
    assert candidates(spec, role, "no such")[0] == []


def test_what_must_agree_is_tried_before_what_sorts_before_it(spec):
    for n in range(MOST):
        PartFactory(kind="radiator", name=f"A wide {n}", facts={**RADIATOR, "section_size": 140.0})
    PartFactory(kind="radiator", name="Zebra", facts={**RADIATOR, "thickness": 28.0})
    assert tried(spec, "front radiator")["Zebra"].fits
    PartFactory(kind="graphics_block", name="Zebra", facts={**PARTS["graphics block"][2], "board_designs": "K1, K2"})
    for n in range(MOST):
        PartFactory(kind="graphics_block", name=f"A {n}", facts={"board_designs": "K9"})
    assert tried(spec, "graphics block")["Zebra"].fits
    board = {**PARTS["graphics board"][2], "length": 250.0}
    PartFactory(kind="graphics", name="Zebra", facts=board)
    for n in range(MOST):
        PartFactory(kind="graphics", name=f"A {n}", facts={**board, "board_design": "K9"})
    assert tried(spec, "graphics board")["Zebra"].fits


def test_where_a_part_fits_several_none_of_them_is_left_out(spec):
    """A block for boards of two designs: the boards are then told apart by their length alone."""
    block = spec.lines.get(role__name="graphics block").part
    block.facts.filter(name="board_designs").update(text="K1, K2")
    PartFactory(kind="graphics", name="Zebra", facts={**PARTS["graphics board"][2], "length": 250.0})
    for n in range(MOST):
        PartFactory(kind="graphics", name=f"A long {n}", facts={"board_design": "K2", "length": 450.0})
    assert tried(spec, "graphics board")["Zebra"].fits


def test_it_is_found_by_facts_as_in_the_list_of_parts(spec):
    PartFactory(kind="radiator", name="slim", facts={**RADIATOR, "thickness": 28.0})
    assert list(tried(spec, "front radiator", "≤ 30 mm, 3 × 120")) == ["slim"]


def test_withdrawn_parts_are_not_offered(spec):
    PartFactory(kind="radiator", name="gone", withdrawn=True)
    assert "gone" not in tried(spec, "front radiator")


def test_searching_answers_with_the_list_alone(owner_client, spec):
    PartFactory(kind="radiator", name="slim", facts=RADIATOR)
    role = Role.objects.get(job=spec.job, name="front radiator")
    url = reverse("specs:role", args=[spec.job.number, role.pk])
    answer = owner_client.get(url, {"q": "slim"}, headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert "slim" in answer.text
    assert "Saltmarsh" not in answer.text.split("candidates")[1]


def test_what_was_asked_is_said_and_what_was_not_understood_too(owner_client, spec):
    role = Role.objects.get(job=spec.job, name="front radiator")
    url = reverse("specs:role", args=[spec.job.number, role.pk])
    assert "Understood as" not in owner_client.get(url).text
    assert "Understood as: radiator · thickness ≤ 45 mm" in owner_client.get(url, {"q": "≤ 45 mm"}).text
    assert "is a power, not a length" in owner_client.get(url, {"q": "thickness ≤ 45 W"}).text


def test_very_many_are_not_counted_out(owner_client, spec, monkeypatch):
    monkeypatch.setattr("builds.specs.candidates.COUNTED", 35)
    monkeypatch.setattr("builds.specs.views.COUNTED", 35)
    role = Role.objects.get(job=spec.job, name="front radiator")
    url = reverse("specs:role", args=[spec.job.number, role.pk])
    for n in range(33):
        PartFactory(kind="radiator", name=f"slim {n}", facts=RADIATOR)
    assert "the 30 likeliest of 34." in owner_client.get(url).text
    for n in range(9):
        PartFactory(kind="radiator", name=f"thick {n}", facts=RADIATOR)
    assert "the 30 likeliest of 35 and more." in owner_client.get(url).text


def test_what_lies_on_the_free_shelf_is_said(owner_client, owner, spec):
    slim = PartFactory(kind="radiator", name="slim", facts=RADIATOR)
    Stock.put_in(part=slim, tray=Tray.free_shelf(), place=PlaceFactory(), quantity=2, reason="count", by=owner)
    role = Role.objects.get(job=spec.job, name="front radiator")
    page = owner_client.get(reverse("specs:role", args=[spec.job.number, role.pk]), {"q": "in stock"}).text
    assert page.count("on the free shelf") == 1
    assert "2 on the free shelf" in page


@pytest.mark.parametrize("more", [0, 20])
def test_trying_costs_the_same_number_of_queries(spec, more, django_assert_num_queries):
    for n in range(more):
        PartFactory(kind="radiator", name=f"slim {n}", facts=RADIATOR)
    role = Role.objects.get(job=spec.job, name="front radiator")
    fresh = type(spec).objects.get(pk=spec.pk)
    with django_assert_num_queries(13):
        candidates(fresh, role)
