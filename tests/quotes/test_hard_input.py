"""Hostile and odd input on quotes: names in any script, markup in text blocks, amounts that no column holds."""

import io
from decimal import Decimal as D

import pikepdf
import pytest
from django.urls import reverse

from builds.quotes.models import Quote
from builds.quotes.pricing import line_amount
from tests.factories import once
from tests.sheets.reading import text_of

from .conftest import in_days
from .test_bills import bill, stages_of

HEBREW, EMOJI = "\u05e9\u05dc\u05d5\u05dd", "\U0001f469\u200d\U0001f527"
MARKUP = "<script>alert(1)</script> & <img src=file:///etc/passwd> {{ issue.net }} {% now 'Y' %}"


def here(issue, *more):
    return reverse("quotes:issue", args=[issue.quote.job.number, issue.quote.number, issue.number]) + "".join(more)


@pytest.fixture
def named(job):
    """A client of many scripts, one of them written from right to left, who types markup as well."""
    job.client.name = f"{HEBREW} Ωmega Ångström {EMOJI} <b>Söhne</b> \u202egnirts\u202c"
    job.client.address = MARKUP
    job.client.save()
    job.title = f"Rig for {HEBREW} <i>{EMOJI}</i>"
    job.save()
    return job


def test_a_name_in_any_script_stands_on_page_and_paper(named, draft, owner_client):
    page = owner_client.get(here(draft)).content.decode()
    assert "<i>" not in page.replace("<i></i>", "")
    assert "&lt;i&gt;" in page
    words = text_of(owner_client.get(here(draft, "pdf/")).content)
    for expected in ("Ωmega", "Ångström", "<b>Söhne</b>", "<script>alert(1)</script>"):
        assert expected in words
    assert set(HEBREW) <= set(words)


def test_markup_in_text_blocks_is_words_on_page_paper_and_the_clients_page(draft, owner, owner_client):
    texts = {"included": MARKUP, "excluded": MARKUP, "terms": MARKUP}
    draft.set_terms(owner, valid_until=in_days(9), promise=None, margin_percent=D(20), **texts)
    page = owner_client.get(here(draft)).content.decode()
    assert "<script>alert" not in page
    pdf = owner_client.get(here(draft, "pdf/")).content
    assert text_of(pdf).count("<script>alert(1)</script> & <img src=file:///etc/passwd> {{ issue.net }}") == 3
    with pikepdf.open(io.BytesIO(pdf)) as read:
        assert not any(page.get_images() for page in read.pages)
        assert not read.attachments


@pytest.mark.parametrize("price", ["1e12", "1000000000000", "99999999999.99"])
def test_a_price_that_no_column_holds_is_refused_at_its_field(draft, owner_client, price):
    line = draft.lines.get(role__name="pump")
    typed = once(version=line.version, unit_price=price, text="pump", remark="kept words", own_margin="", unit_cost="")
    answer = owner_client.post(here(draft, f"lines/{line.pk}/"), typed)
    assert answer.context["line_form"].errors["unit_price"]
    assert "kept words" in answer.content.decode()
    assert draft.figures().totals.total == D(888)


def test_a_sum_that_no_column_holds_is_said_and_can_be_changed_back(draft, owner, owner_client):
    line = draft.add_line(owner, kind="other", text="a ship", quantity=D(9_999_999), unit_price=D(99_999_999))
    page = owner_client.get(here(draft)).content.decode()
    assert "type a smaller quantity or price" in page
    assert f"lines/{line.pk}/" in page
    line.remove(owner)
    assert draft.figures().totals.total == D(888)


def test_half_a_cent_below_zero_rounds_away_from_zero(draft, owner):
    """Half away from zero, as EN 16931's examples round (check_values); half-even would give 0.00."""
    assert line_amount(D(1), D("-0.005"), "EUR") == D("-0.01")
    draft.add_line(owner, kind="other", text="a trifle off", quantity=D(1), unit_price=D("-0.005"))
    assert draft.figures().totals.net == D("739.99")


def test_a_part_below_zero_is_refused(draft, owner_client):
    line = draft.lines.get(role__name="pump")
    typed = once(version=line.version, unit_price="-0.005", text="pump", remark="", own_margin="", unit_cost="")
    answer = owner_client.post(here(draft, f"lines/{line.pk}/"), typed)
    assert answer.context["line_form"].errors["unit_price"]


@pytest.mark.parametrize("amount", ["1e12", "-0.005", "0", "0.001", "NaN", "Infinity", "ten"])
def test_a_payment_of_such_an_amount_is_refused_and_nothing_is_kept(agreed, job, owner, owner_client, amount):
    made = bill(stages_of(job)[0], owner)
    where = reverse("quotes:record_payment", args=[job.number, made.number])
    answer = owner_client.post(where, once(amount=amount, received_on=in_days(0).isoformat(), note="by transfer"))
    assert answer.status_code == 200
    assert answer.context["payment_form"].errors
    assert "by transfer" in answer.content.decode()
    assert not made.payments.exists()


@pytest.mark.parametrize("amount", ["1e12", "-0.005", "0", "NaN"])
def test_nor_is_such_an_amount_given_back(agreed, job, owner, owner_client, amount):
    made = bill(stages_of(job)[0], owner)
    where = reverse("quotes:give_back", args=[job.number, made.number])
    answer = owner_client.post(where, once(amount=amount, reason="a slip"))
    assert answer.status_code == 200
    assert answer.context["back_form"].errors
    assert job.bills.count() == 1


def checked(pdf):
    """A PDF read by pikepdf: what PDF/UA-1 (ISO 14289-1) asks of its catalogue, its pages and its fonts."""
    with pikepdf.open(io.BytesIO(pdf)) as read:
        assert read.Root.MarkInfo.Marked
        assert "/StructTreeRoot" in read.Root
        assert str(read.Root.Lang).startswith("en")
        assert read.Root.ViewerPreferences.DisplayDocTitle
        with read.open_metadata() as meta:
            assert meta["{http://www.aiim.org/pdfua/ns/id/}part"] == "1"
        fonts = [font for page in read.pages for font in page.resources.Font.values()]
        assert fonts
        for font in fonts:
            (inside,) = font.get("/DescendantFonts", [font])
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inside.FontDescriptor.keys())
        sizes = {tuple(round(float(x)) for x in page.mediabox) for page in read.pages}
        return str(read.docinfo["/Title"]), sizes


# A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 in (ANSI/ASME Y14.1); a PDF point is 1/72 in.
@pytest.mark.parametrize(("paper", "size"), [("a4", (0, 0, 595, 842)), ("letter", (0, 0, 612, 792))])
def test_a_quote_is_tagged_titled_and_brings_its_fonts(draft, owner, shop, paper, size):
    shop.paper = paper
    shop.save()
    draft.send(owner)
    title, sizes = checked(draft.document.read())
    assert title == f"Quote {draft.quote}, issue 1"
    assert sizes == {size}


def test_so_is_a_variation(agreed, spec, job, owner):
    made = spec.copy(owner)
    made.put(job.roles.get(name="fans"), made.lines.get(role__name="fans").part, owner, quantity=D(8))
    change = Quote.vary(job, made, owner)
    change.send(owner)
    title, _sizes = checked(change.document.read())
    assert title == f"Variation {change.quote}, issue 1"
