"""The list of parts: what is found, in what order, and at what cost."""

import pytest
from django.urls import reverse

from parts.shelf.models import Stock, Tray
from tests.factories import JobFactory, PartFactory, PlaceFactory, SupplierFactory, SupplierPriceFactory

LIST = reverse("catalogue:list")


@pytest.fixture
def radiator(db):
    return PartFactory(kind="radiator", name="Radiator 3×120, 30 mm", facts={"thickness": 30.0, "sections": 3.0})


def test_parts_are_found_by_every_word_in_any_case(owner_client, radiator):
    PartFactory(kind="radiator", name="Radiator 2×120, 45 mm")
    page = owner_client.get(LIST, {"q": "RADIATOR 30"}).content.decode()
    assert "Radiator 3×120, 30 mm" in page
    assert "Radiator 2×120, 45 mm" not in page


def test_a_part_is_found_by_any_of_its_suppliers_codes(owner_client, helper_client, radiator):
    PartFactory(kind="fan", name="Fan 17")
    for code in ("TW-1742", "0815/B"):
        SupplierPriceFactory(part=radiator, supplier=SupplierFactory(), code=code)
    for typed in ("tw-1742", "0815/b", "radiator tw-17", "TW-1742 0815"):
        for client in (owner_client, helper_client):
            page = client.get(LIST, {"q": typed}).content.decode()
            assert "Radiator 3×120, 30 mm" in page, typed
            assert "Fan 17" not in page
    assert "No part matches" in owner_client.get(LIST, {"q": "tw-9"}).content.decode()


def test_a_kind_narrows_the_list_and_a_strange_one_does_not_break_it(owner_client, radiator):
    PartFactory(kind="fan", name="Fan 120 mm")
    assert "Fan 120 mm" not in owner_client.get(LIST, {"kind": "radiator"}).content.decode()
    assert "Fan 120 mm" in owner_client.get(LIST, {"kind": "spaceship"}).content.decode()


def test_withdrawn_parts_are_kept_out_until_asked_for(owner_client, radiator):
    PartFactory(kind="fan", name="Old fan", withdrawn=True)
    assert "Old fan" not in owner_client.get(LIST).content.decode()
    assert "Old fan" in owner_client.get(LIST, {"withdrawn": "1"}).content.decode()


def test_htmx_gets_only_the_rows(owner_client, radiator):
    piece = owner_client.get(LIST, {"q": "30"}, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in piece
    assert "Radiator 3×120" in piece


def test_newest_first(owner_client, radiator):
    PartFactory(kind="fan", name="Fan of today")
    page = owner_client.get(LIST, {"sort": "newest"}).content.decode()
    assert page.index("Fan of today") < page.index("Radiator 3×120")


def test_a_page_at_a_time(owner_client):
    PartFactory.create_batch(51)
    assert "page 1 of 2" in owner_client.get(LIST).content.decode()
    assert owner_client.get(LIST, {"page": "nonsense"}).status_code == 200
    assert "page 2 of 2" in owner_client.get(LIST, {"page": "999"}).content.decode()


def test_the_helper_sees_parts_but_no_price(helper_client, radiator):
    SupplierPriceFactory(part=radiator, price="87.65", supplier=SupplierFactory(name="Tidewater Cooling"))
    for address in (LIST, reverse("catalogue:part", args=[radiator.pk])):
        page = helper_client.get(address).content.decode()
        assert "Radiator 3×120" in page
        assert "87.65" not in page
        assert "Tidewater" not in page


def test_the_owner_sees_the_lowest_price(owner_client, radiator):
    SupplierPriceFactory(part=radiator, price="87.65")
    SupplierPriceFactory(part=radiator, price="91.00")
    assert "87.65" in owner_client.get(LIST).content.decode()


def test_more_parts_ask_no_more_queries(owner_client, django_assert_max_num_queries):
    def fill(count):
        for _ in range(count):
            part = PartFactory(kind="radiator", facts={"thickness": 30.0, "sections": 3.0})
            SupplierPriceFactory(part=part)
            SupplierPriceFactory(part=part)

    fill(2)
    with django_assert_max_num_queries(13) as few:
        owner_client.get(LIST)
    fill(30)
    with django_assert_max_num_queries(len(few)):
        owner_client.get(LIST)


def test_an_empty_catalogue_says_what_to_do_first(owner_client):
    assert "add the first part" in owner_client.get(LIST).content.decode()


def test_what_lies_on_the_free_shelf_is_said_with_the_part(owner_client, owner, radiator):
    page, place, job = reverse("catalogue:part", args=[radiator.pk]), PlaceFactory(), JobFactory()
    assert "on the free shelf</dt><dd>0" in owner_client.get(page).content.decode()
    for tray, quantity, whose in ((Tray.free_shelf(), 2, "ours"), (job.tray, 5, "ours"), (job.tray, 7, "client")):
        Stock.put_in(
            part=radiator, tray=tray, place=place, quantity=quantity, reason="count", by=owner, owner=whose
        )  # fmt: skip
    assert "2 on the free shelf" in owner_client.get(LIST).content.decode()
    assert "on the free shelf</dt><dd>2" in owner_client.get(page).content.decode()
