"""The catalogue taken along as a file, and read in again without loss."""

import csv
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from parts.catalogue.drafts import ImportDraft
from parts.catalogue.headers import TARGETS, fact_targets, find_target, heading_of
from parts.catalogue.models import Fact, Part
from parts.suppliers.models import Supplier, SupplierPrice
from parts.workshop.photos import clean_photo
from tests.factories import PartFactory, SupplierFactory, SupplierPriceFactory, once
from tests.workshop.test_photos import picture


def address(form):
    return reverse("catalogue:export", args=[form])


def as_rows(content):
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), delimiter=";"))


@pytest.fixture
def catalogue(db, owner):
    """Parts with everything that a part may have, and what a spreadsheet would stumble over."""
    new = PartFactory(kind="radiator", name="Radiator 3×120, new", facts={"thickness": 30.123456})
    old = PartFactory(
        kind="radiator", name="=HYPERLINK(1)", maker="@work", model="-12", note="first line\nsecond; “line”",
        warranty_months=24, withdrawn=True, successor=new, facts={"wetted_metals": "copper, brass", "sections": 3.0},
    )  # fmt: skip
    old.set_facts({"thickness": 44.45, "sections": 2.0}, Fact.MEASURED, by=owner)
    old.set_fact("fins_per_inch", 16.0, Fact.TYPICAL, by=owner)
    PartFactory(kind="coolant", name="Mixture", facts={"mass_fraction": 0.3, "inhibited": 1.0, "fluid": "water"})
    PartFactory(kind="other", name="'plain", note="no facts")
    one, two = SupplierFactory(name="Tidewater", currency="EUR"), SupplierFactory(name="+Plus", currency="GBP")
    SupplierPriceFactory(
        part=old, supplier=one, price="1234.5000", pack_size="1.500", code="0012", lead_days=0,
        carriage_class="dangerous",
    )  # fmt: skip
    SupplierPriceFactory(
        part=old, supplier=two, price="17.345", link="https://plus.example/a", seen_on="2026-03-31"
    )  # fmt: skip


def all_of_it():
    """Everything of the catalogue that an export carries, by name."""
    facts = set(Fact.objects.values_list("part__kind", "part__name", "name", "origin", "number", "text"))
    told = ("kind", "name", "maker", "model", "note", "warranty_months", "withdrawn", "successor__name")
    price = ("part__name", "supplier__name", "supplier__currency", "price", "pack_size", "code", "lead_days",
             "carriage_class", "link")  # fmt: skip
    return facts, set(Part.objects.values_list(*told)), set(SupplierPrice.objects.values_list(*price))


def read_in(client, content, form):
    """Send an exported file as it is, and save it: the page it was looked through on."""
    client.post(reverse("catalogue:import"), once(file=SimpleUploadedFile(f"list.{form}", content)))
    draft = ImportDraft.objects.latest("pk")
    columns = reverse("catalogue:import_columns", args=[draft.pk])
    form = client.get(columns).context["form"]
    client.post(columns, {bound.name: bound.value() for bound in form if bound.value() not in (None, False)})
    page = client.get(reverse("catalogue:import_preview", args=[draft.pk])).content.decode()
    client.post(reverse("catalogue:import_save", args=[draft.pk]), once())
    return page


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_is_exported_reads_in_again_without_loss(owner_client, catalogue, form):
    before = all_of_it()
    content = owner_client.get(address(form), {"withdrawn": "1"}).content
    Part.objects.all().delete()
    Supplier.objects.all().delete()
    assert "No problems." in read_in(owner_client, content, form)
    assert all_of_it() == before
    assert SupplierPrice.objects.get(supplier__name="+Plus").seen_on.isoformat() == "2026-03-31"


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_read_in_over_itself_it_changes_nothing(owner_client, owner, catalogue, form):
    """Not even the photos, which no list holds."""
    pictured = Part.objects.get(name="Mixture")
    pictured.picture(clean_photo(picture()), owner)
    SupplierPrice.objects.filter(seen_on=None).update(seen_on="2026-01-15")
    before = all_of_it(), dict(Part.objects.values_list("pk", "version")), pictured.photo_id
    content = owner_client.get(address(form), {"withdrawn": "1"}).content
    page = read_in(owner_client, content, form)
    assert "No problems." in page
    assert "<del>" not in page
    pictured.refresh_from_db()
    assert (all_of_it(), dict(Part.objects.values_list("pk", "version")), pictured.photo_id) == before
    changes = ImportDraft.objects.get().changes
    assert {name: len(what) for name, what in changes.items()} == {
        "parts": 0, "parts changed": 0, "facts": 0, "suppliers": 0, "prices": 0, "prices changed": 0,
    }  # fmt: skip


def test_a_part_with_a_photo_comes_back_without_it_and_the_page_has_said_so(owner_client, owner, catalogue):
    part = Part.objects.get(name="Mixture")
    part.picture(clean_photo(picture()), owner)
    assert "without their photos" in owner_client.get(reverse("catalogue:list")).content.decode()
    content = owner_client.get(address("csv"), {"kind": "coolant"}).content
    Part.objects.filter(pk=part.pk).delete()
    read_in(owner_client, content, "csv")
    again = Part.objects.get(name="Mixture")
    assert (again.photo_id, again.fact("mass_fraction")) == (None, 0.3)


@pytest.mark.parametrize("target", [*TARGETS, *fact_targets()])
def test_every_column_written_is_known_again(target):
    if target not in {"quantity", "remark"}:
        assert find_target(heading_of(target)) == target


def test_no_cell_begins_like_a_formula(owner_client, catalogue):
    cells = [cell for row in as_rows(owner_client.get(address("csv"), {"withdrawn": "1"}).content) for cell in row]
    assert "'=HYPERLINK(1)" in cells
    assert "'+Plus" in cells
    assert not [cell for cell in cells if cell[:1] in tuple("=+-@\t\r")]


def test_only_what_the_list_shows_is_taken_along(owner_client, catalogue):
    rows = as_rows(owner_client.get(address("csv"), {"kind": "coolant"}).content)
    assert [row[1] for row in rows[1:]] == ["Mixture"]
    assert "30 %" in rows[1]


def test_the_helpers_file_has_no_prices(helper_client, catalogue):
    answer = helper_client.get(address("csv"), {"withdrawn": "1"})
    assert "attachment" in answer["Content-Disposition"]
    text = answer.content.decode()
    assert "Tidewater" not in text
    assert "1234.5" not in text


def test_another_form_is_not_there(owner_client):
    assert owner_client.get(address("pdf")).status_code == 404


def test_more_parts_ask_no_more_queries(owner_client, catalogue, django_assert_max_num_queries):
    with django_assert_max_num_queries(14) as few:
        owner_client.get(address("csv"))
    for _n in range(30):
        SupplierPriceFactory(part=PartFactory(kind="fan", facts={"size": 120.0}))
    with django_assert_max_num_queries(len(few)):
        owner_client.get(address("csv"))
