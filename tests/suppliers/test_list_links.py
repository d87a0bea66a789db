"""Links that a workshop keeps behind the cells of its workbook, into the supplier's price and out again."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import Workbook

from parts.catalogue.drafts import ImportDraft
from parts.suppliers.models import SupplierPrice
from tests.factories import once

from .sending import SEND, correct, match, page_of, save

HEADINGS = ["Part", "Kind", "Supplier", "Code", "Price", "Link"]


def sent(client, *rows, **links):
    """A workbook sent and matched; links={"A2": address}."""
    book, held = Workbook(), io.BytesIO()
    for row in (HEADINGS, *rows):
        book.active.append(row)
    for place, address in links.items():
        book.active[place].hyperlink = address
    book.save(held)
    answer = client.post(SEND, once(file=SimpleUploadedFile("list.xlsx", held.getvalue())))
    assert answer.status_code == 302, answer.context["form"].errors
    draft = ImportDraft.objects.latest("pk")
    match(client, draft)
    return draft


def links():
    return dict(SupplierPrice.objects.values_list("part__name", "link"))


def test_the_link_behind_a_parts_name_becomes_its_prices_link(owner_client):
    draft = sent(
        owner_client, ["Fan", "fan", "Tidewater", "TW-1", 17], ["Tube", "tube", "Tidewater", "TW-2", 4],
        A2="https://tide.example/fan", D3="https://tide.example/tube",
    )  # fmt: skip
    assert "https://tide.example/fan" in owner_client.get(page_of(draft)).content.decode()
    save(owner_client, draft)
    assert links() == {"Fan": "https://tide.example/fan", "Tube": "https://tide.example/tube"}
    page = owner_client.get(reverse("catalogue:part", args=[SupplierPrice.objects.first().part_id])).content.decode()
    assert 'href="https://tide.example/' in page


def test_what_the_link_column_says_comes_first(owner_client):
    draft = sent(
        owner_client, ["Fan", "fan", "Tidewater", "", 17, "tide.example/said"],
        ["Tube", "tube", "Tidewater", "", 4, "open"], A2="https://tide.example/name", A3="https://tide.example/name",
        F3="https://tide.example/behind",
    )  # fmt: skip
    save(owner_client, draft)
    assert links() == {"Fan": "https://tide.example/said", "Tube": "https://tide.example/behind"}


def test_a_corrected_cell_leads_nowhere(owner_client):
    draft = sent(owner_client, ["Fan", "fan", "Tidewater", "", "cheap"], E2="https://tide.example/old")
    correct(owner_client, draft, cell_1_4="17")
    save(owner_client, draft)
    assert links() == {"Fan": ""}


def test_a_code_without_a_price_is_told_and_kept_where_a_price_is_known(owner_client):
    save(owner_client, sent(owner_client, ["Fan", "fan", "Tidewater", "", 17]))
    draft = sent(
        owner_client, ["Fan", "fan", "Tidewater", "TW-1"], ["Tube", "tube", "Tidewater", "TW-2"],
        A2="https://tide.example/fan",
    )  # fmt: skip
    page = owner_client.get(page_of(draft)).content.decode()
    assert "2 rows name a code or a link but no price" in page
    assert "(rows 2, 3)" in page
    save(owner_client, draft)
    price = SupplierPrice.objects.get()
    assert (price.price, price.code, price.link) == (17, "TW-1", "https://tide.example/fan")
    owner_client.post(reverse("catalogue:import_undo", args=[draft.pk]), once())
    price.refresh_from_db()
    assert (price.code, price.link) == ("", "")


@pytest.mark.parametrize("address", ["javascript:alert(1)", "data:text/html,x"])
def test_no_link_can_run_anything(owner_client, address):
    draft = sent(owner_client, ["Fan", "fan", "Tidewater", "", 17], A2=address)
    save(owner_client, draft)
    assert links() == {"Fan": ""}
