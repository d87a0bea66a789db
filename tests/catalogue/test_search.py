"""The list of parts asked for facts, in one typed line or field by field; parts compared."""

import pytest
from django.urls import reverse

from parts.catalogue.models import Fact, Part
from parts.catalogue.query import read_query
from parts.shelf.models import Stock, Tray
from tests.factories import PartFactory, PlaceFactory, SupplierPriceFactory

LIST = reverse("catalogue:list")
COMPARE = reverse("catalogue:compare")


@pytest.fixture
def radiators(db):
    def radiator(name, thickness, sections=3.0, **more):
        facts = {"sections": sections, "section_size": 120.0, "thickness": thickness, **more}
        return PartFactory(kind="radiator", name=name, facts={k: v for k, v in facts.items() if v is not None})

    return [
        radiator("slim three", 30.0, fan_thread="M3", wetted_metals="copper, brass"),
        radiator("deep three", 60.0, fan_thread="M4", wetted_metals="aluminium"),
        radiator("slim two", 30.0, sections=2.0),
        radiator("unmeasured three", None),
        PartFactory(kind="fan", name="thin fan", facts={"thickness": 15.0}),
    ]


def found(text, kind=""):
    return [part.name for part in Part.objects.answering(read_query(text, kind)).order_by("pk")]


def on_the_shelf(part, tray=None, quantity=1, owner="ours"):
    Stock.objects.create(
        part=part, place=PlaceFactory(), tray=tray or Tray.free_shelf(), quantity=quantity, owner=owner
    )


def test_facts_narrow_and_what_is_not_known_is_not_found(radiators):
    assert found("radiator, 3 × 120, ≤ 45 mm") == ["slim three"]
    assert found("radiator, 3 × 120") == ["slim three", "deep three", "unmeasured three"]
    assert found("radiator, ≥ 30 mm") == ["slim three", "deep three", "slim two"]
    assert found("radiator, M4, aluminium") == ["deep three"]
    assert found("slim radiator, 2×120") == ["slim two"]
    assert found("thickness ≤ 30 mm") == ["slim three", "slim two", "thin fan"]


def test_measured_beats_declared_beats_typical(radiators, owner):
    slim = radiators[0]
    slim.set_fact("thickness", 28.0, Fact.TYPICAL, by=owner)
    assert "slim three" not in found("radiator, ≤ 29 mm")
    slim.set_fact("thickness", 46.5, Fact.MEASURED, by=owner)
    assert found("radiator, 3×120, ≤ 45 mm") == []
    assert "slim three" in found("thickness > 46 mm")


def test_in_stock_means_free_and_ours(radiators):
    slim, deep, two, *_rest = radiators
    on_the_shelf(slim)
    on_the_shelf(deep, tray=Tray.objects.create(name="J-0001"))
    on_the_shelf(two, owner="client")
    assert found("radiator, in stock") == ["slim three"]


def test_the_page_says_what_it_understood_and_what_not(owner_client, radiators):
    page = owner_client.get(LIST, {"q": "radiator, 3 x 120, ≤ 45 mm"}).content.decode()
    assert "Understood as: radiator · fan sections = 3 · section size = 120 mm · thickness ≤ 45 mm" in page
    assert "slim three" in page
    assert "deep three" not in page
    page = owner_client.get(LIST, {"q": "radiator, thickness ≤ 45 W"}).content.decode()
    assert "is a power, not a length" in page


def test_the_facts_of_a_kind_can_be_filled_in(owner_client, radiators):
    asked = {"kind": "radiator", "f_thickness_lte": "4.5 cm", "f_fan_thread": "M3", "f_sections_gte": "3"}
    page = owner_client.get(LIST, asked).content.decode()
    assert "slim three" in page
    assert "slim two" not in page
    assert '<details class="more" open>' in page
    assert '<details class="more"><summary>by other facts' not in page  # the thread is one of them, so they stay open
    page = owner_client.get(LIST, {"kind": "radiator", "f_thickness_lte": "45 W"}).content.decode()
    assert '<details class="more"><summary>by other facts' in page
    assert "is a power, not a length" in page


def test_choosing_another_kind_brings_its_facts_along(owner_client, radiators):
    quick = {"HX-Request": "true"}
    piece = owner_client.get(LIST, {"kind": "fan", "shown": "radiator"}, headers=quick).content.decode()
    assert 'id="facts-filter" hx-swap-oob="true"' in piece
    assert "<legend>Free air flow</legend>" in piece
    typed = owner_client.get(LIST, {"kind": "fan", "shown": "fan"}, headers=quick).content.decode()
    assert "facts-filter" not in typed


class TestComparing:
    def test_facts_stand_side_by_side(self, owner_client, radiators):
        SupplierPriceFactory(part=radiators[0], price="74.20")
        page = owner_client.get(COMPARE, {"part": [radiators[0].pk, radiators[1].pk]}).content.decode()
        assert "<strong>30 mm</strong>" in page
        assert "<strong>60 mm</strong>" in page
        assert "74.20" in page
        assert "section size" in page

    def test_what_differs_stands_apart_from_what_is_the_same(self, owner_client, owner, radiators):
        radiators[0].set_fact("thickness", 30.5, Fact.MEASURED, by=owner)
        page = owner_client.get(COMPARE, {"part": [radiators[0].pk, radiators[1].pk]}).content.decode()
        apart, alike = page.split("Where they differ")[1].split("The same in all of them")
        assert "30.5 mm" in apart
        assert "measured by us" in apart
        assert "as declared" in apart
        assert ("section size" in apart, "section size" in alike) == (False, True)
        # what only one of them says is no likeness
        page = owner_client.get(COMPARE, {"part": [radiators[0].pk, radiators[3].pk]}).content.decode()
        assert "not known" in page.split("The same in all of them")[0]

    def test_parts_of_two_kinds_too(self, owner_client, radiators):
        page = owner_client.get(COMPARE, {"part": [radiators[1].pk, radiators[4].pk]}).content.decode()
        assert "not known" in page

    @pytest.mark.parametrize("asked", [[], ["1"], ["x", "999999"], ["1" * 30, "2"]])
    def test_one_alone_is_not_compared(self, owner_client, asked, db):
        answer = owner_client.get(COMPARE, {"part": asked}, follow=True)
        assert "two parts or more" in answer.content.decode()

    def test_the_helper_sees_no_price(self, helper_client, radiators):
        SupplierPriceFactory(part=radiators[0], price="87.65")
        page = helper_client.get(COMPARE, {"part": [radiators[0].pk, radiators[1].pk]}).content.decode()
        assert "87.65" not in page
