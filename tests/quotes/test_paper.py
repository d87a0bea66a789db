"""The quote on paper, read back from its PDF."""

import subprocess
from decimal import Decimal as D

import pytest

from builds.quotes import paper
from builds.quotes.models import IssueLine, Quote
from builds.specs.models import SpecVersion
from tests.specs.rows import machine

from .conftest import in_days


def words(pdf, tmp_path):
    path = tmp_path / "quote.pdf"
    path.write_bytes(pdf)
    told = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, text=True, check=True).stdout
    return " ".join(told.split())


@pytest.fixture
def read(tmp_path):
    return lambda issue: words(paper.pdf(issue, issue.figures()), tmp_path)


def test_parts_work_sums_stages_texts_and_signature(sent, tmp_path):
    shown = words(sent.document.read(), tmp_path)
    for said in (
        "Quote Q-0001, issue 1", "T. Oyelaran", "Flight-deck simulator", "pump part", "Fit-up", "10 h", "740.00",
        "tax 20 % of 740.00", "888.00 EUR", "Deposit: all parts", "192.00", "696.00", "Assembly and soak test.",
        "Software licences.", "statutory rights", "local law decides", "accepted by", "1 of",
    ):  # fmt: skip
        assert said in shown, said


def test_cost_and_margin_stay_off_the_paper(sent, tmp_path):
    shown = words(sent.document.read(), tmp_path).split()
    for secret in ("80.00", "128.00", "612.00", "40.80", "225.00", "margin", "contribution", "cost"):
        assert secret not in shown


def test_a_draft_says_that_it_is_one_and_a_sent_one_does_not(draft, owner, read):
    assert "draft, not an offer" in read(draft)
    draft.send(owner)
    assert "draft" not in read(draft)


def test_a_draft_rendered_twice_is_the_same_bytes(draft):
    assert paper.pdf(draft, draft.figures()) == paper.pdf(draft, draft.figures())


def test_markup_and_odd_scripts_are_safe(draft, owner, read):
    client = draft.quote.job.client
    client.name = "Ωμέγα & Søn <b>Лев</b> العربية 東京"
    client.save()
    draft.lines.get(text="pump part").change(owner, text='<img src="x.png"> pump')
    draft.set_terms(
        owner, valid_until=in_days(9), promise=None, margin_percent=D(20),
        excluded="<link rel=attachment href=file:///etc/hostname>\nsecond line",
    )  # fmt: skip
    draft.refresh_from_db()
    draft.quote.job.client.refresh_from_db()
    shown = read(draft)
    for said in ("Ωμέγα & Søn <b>Лев", '<img src="x.png"> pump', "<link rel=attachment"):
        assert said in shown


def test_small_prices_keep_their_decimals(draft, owner, read):
    draft.add_line(owner, kind=IssueLine.OTHER, text="washers", quantity=D(250), unit_price=D("0.0125"))
    shown = read(draft)
    assert "0.0125" in shown
    assert "3.13" in shown


def test_expected_temperatures_are_said_where_the_loop_is_solved(job, owner, read):
    spec = machine(job=job)
    shown = read(Quote.draft(job, spec, owner))
    assert "°C room the coolant is expected at" in shown


def test_without_a_loop_nothing_is_said_of_heat(draft, read):
    assert "coolant is expected" not in read(draft)


def test_what_was_said_of_heat_is_frozen(job, owner, tmp_path, stops):
    spec = machine(job=job)
    issue = Quote.draft(job, spec, owner)
    for line in issue.lines.filter(kind=IssueLine.PART):
        line.change(owner, unit_price=D(10))
    issue.send(owner)
    assert len(issue.texts["heat"]) == 1
    assert "Heat:" in words(issue.document.read(), tmp_path)


def test_a_variation_names_what_it_alters(agreed, spec, job, owner, read):
    made = spec.copy(owner)
    made.lines.filter(role__name="fans").update(quantity=D(8))
    shown = read(Quote.vary(job, SpecVersion.objects.get(pk=made.pk), owner))
    for said in ("Variation Q-0002, issue 1", "Q-0001 issue 1", "this change", "24.00", "agreed before it", "888.00",
                 "agreed with it", "912.00"):  # fmt: skip
        assert said in shown


def test_letter_paper(draft, shop, tmp_path):
    shop.paper = "letter"
    shop.save()
    path = tmp_path / "quote.pdf"
    path.write_bytes(paper.pdf(draft, draft.figures()))
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "612 x 792 pts (letter)" in told
    assert "Tagged:          yes" in told
