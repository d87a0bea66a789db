"""Suppliers and what they ask for parts: the owner's pages."""

from decimal import Decimal

import pytest
from django.urls import reverse

from parts.suppliers.models import Supplier, SupplierPrice
from parts.workshop.models import AuditEntry
from tests.factories import PartFactory, SupplierFactory, SupplierPriceFactory, once

NEW = {
    "name": "Tidewater Cooling",
    "currency": "eur",
    "lead_days": "6",
    "carriage": "€ 8,90",
    "free_carriage_from": "1.500,00",
}


def test_a_supplier_is_added(owner_client):
    answer = owner_client.post(reverse("suppliers:add"), once(**NEW))
    made = Supplier.objects.get()
    assert answer.url == reverse("suppliers:supplier", args=[made.pk])
    assert (made.currency, made.carriage, made.free_carriage_from) == ("EUR", Decimal("8.90"), Decimal("1500.00"))
    assert AuditEntry.objects.filter(verb="made", about="supplier Tidewater Cooling").exists()


def test_a_supplier_sent_twice_is_one(owner_client):
    form = once(**NEW)
    assert [owner_client.post(reverse("suppliers:add"), form).status_code for _ in range(2)] == [302, 302]
    assert Supplier.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("currency", "EU", "Three letters"),
        ("carriage", "-3", "Type 0 or more"),
        ("carriage", "1,234", "may mean"),
        ("lead_days", "-1", "Type 0 or more"),
        ("email", "tidewater", "valid email"),
    ],
)
def test_what_cannot_be_is_told_at_its_field(owner_client, field, typed, said):
    page = owner_client.post(reverse("suppliers:add"), once(**{**NEW, field: typed})).content.decode()
    assert said in page
    assert not Supplier.objects.exists()


def test_the_list_finds_by_name_and_counts_prices(owner_client):
    SupplierPriceFactory(supplier=SupplierFactory(name="Tidewater Cooling"))
    SupplierFactory(name="Fenland Metals")
    page = owner_client.get(reverse("suppliers:list"), {"q": "tide"}).content.decode()
    assert "Tidewater" in page
    assert "Fenland" not in page


def test_more_suppliers_and_prices_ask_no_more_queries(owner_client, django_assert_max_num_queries):
    supplier = SupplierPriceFactory().supplier
    pages = [reverse("suppliers:list"), reverse("suppliers:supplier", args=[supplier.pk])]
    for page in pages:
        with django_assert_max_num_queries(12) as few:
            owner_client.get(page)
        for _ in range(10):
            SupplierPriceFactory()
            SupplierPriceFactory(supplier=supplier)
        with django_assert_max_num_queries(len(few)):
            owner_client.get(page)


def price_data(supplier, **changed):
    return once(**{"supplier": supplier.pk, "price": "12,50", "pack_size": "10", "code": "TW-17", **changed})


def test_a_price_is_added_to_a_part_with_its_pack(owner_client):
    part, supplier = PartFactory(kind="fitting"), SupplierFactory()
    answer = owner_client.post(reverse("suppliers:add_price", args=[part.pk]), price_data(supplier))
    assert answer.url == reverse("catalogue:part", args=[part.pk])
    price = SupplierPrice.objects.get()
    assert (price.part, price.unit_price) == (part, Decimal("1.25"))
    assert "TW-17" in owner_client.get(answer.url).content.decode()


def test_how_it_travels_stands_with_the_price(owner_client):
    part, supplier = PartFactory(kind="coolant"), SupplierFactory()
    page = reverse("suppliers:add_price", args=[part.pk])
    answer = owner_client.post(page, price_data(supplier, carriage_class="dangerous"))
    for shown in (answer.url, reverse("suppliers:supplier", args=[supplier.pk])):
        assert "dangerous goods" in owner_client.get(shown).content.decode()
    answer = owner_client.post(page, price_data(SupplierFactory(), carriage_class="balloon"))
    assert "not one of the available choices" in answer.content.decode()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"price": "-1"}, "Type 0 or more"),
        ({"price": "cheap"}, "Type an amount"),
        ({"pack_size": "0"}, "More than nothing"),
        ({"link": "javascript:alert(1)"}, "begins with https"),
        ({"seen_on": "2025-02-30"}, "valid date"),
    ],
)
def test_a_price_that_cannot_be(owner_client, changed, said):
    part = PartFactory()
    page = owner_client.post(
        reverse("suppliers:add_price", args=[part.pk]), price_data(SupplierFactory(), **changed)
    ).content.decode()
    assert said in page
    assert not SupplierPrice.objects.exists()


def test_one_price_a_supplier(owner_client):
    price = SupplierPriceFactory()
    page = owner_client.post(reverse("suppliers:add_price", args=[price.part_id]), price_data(price.supplier))
    assert page.status_code == 200
    assert SupplierPrice.objects.count() == 1


def test_a_price_is_changed_but_not_its_supplier(owner_client):
    price, other = SupplierPriceFactory(), SupplierFactory()
    sent = price_data(other, price="9.99", version=price.version)
    assert owner_client.post(reverse("suppliers:edit_price", args=[price.pk]), sent).status_code == 302
    price.refresh_from_db()
    assert price.price == Decimal("9.99")
    assert price.supplier != other


@pytest.mark.parametrize("name", ["supplier", "edit", "edit_price", "add_price"])
def test_what_is_not_there(owner_client, name):
    assert owner_client.get(reverse(f"suppliers:{name}", args=[9999])).status_code == 404


@pytest.mark.parametrize("name", ["list", "add"])
def test_prices_are_the_owners_matter(helper_client, name):
    assert helper_client.get(reverse(f"suppliers:{name}")).status_code == 403
