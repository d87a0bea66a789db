"""The arithmetic of a quote against published cases.

EN 16931 cases: example invoices and unit tests of ConnectingEurope/eInvoicing-EN16931, v1.3.16 (figures only).
"""

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.quotes.pricing import (
    Costed,
    Rate,
    Taxed,
    keep_of,
    line_amount,
    margin_of,
    per_cent_of,
    price_by_margin,
    price_by_markup,
    total_up,
)

S25, S15, EXEMPT = Rate("S", D(25)), Rate("S", D(15)), Rate("E")


def bases(totals):
    return [(group.base, group.tax) for group in totals.groups]


def test_two_rates_and_an_exemption_round_half_away_from_zero():
    """ubl/examples/ubl-tc434-example2.xml: 1460.50 at 25 % is 365.125, so half-even would lose a cent."""
    lines = [
        Taxed(D("1273.00"), S25), Taxed(D("-3.96"), S15), Taxed(D("4.96"), S15),
        Taxed(D("-25.00"), EXEMPT), Taxed(D("187.50"), S25),
    ]  # fmt: skip
    made = total_up(lines, "NOK", allowances=[Taxed(D(100), S25)], charges=[Taxed(D(100), S25)], prepaid=D("1000.00"))
    assert bases(made) == [(D("1460.50"), D("365.13")), (D("1.00"), D("0.15")), (D("-25.00"), D("0.00"))]
    assert (made.net, made.tax, made.total, made.due) == (D("1436.50"), D("365.28"), D("1801.78"), D("801.78"))
    assert made.net == made.lines - made.allowances + made.charges  # BR-CO-13


def test_allowance_and_charge_in_per_cent_and_a_deposit():
    """ubl-tc434-example5.xml: 10 % off and on of 1500 at 25 %, half of the total paid before."""
    s12 = Rate("S", D(12))
    lines = [
        Taxed(line_amount(D(1), D("1000"), "DKK"), S25),
        Taxed(line_amount(D(5), D("100"), "DKK"), S25),
        Taxed(line_amount(D(5), D("500"), "DKK"), s12),
    ]
    tenth = Taxed(per_cent_of(D(1500), D(10), "DKK"), S25)
    made = total_up(lines, "DKK", allowances=[tenth], charges=[tenth], prepaid=D("2337.50"))
    assert tenth.amount == D("150.00")
    assert bases(made) == [(D("1500.00"), D("375.00")), (D("2500.00"), D("300.00"))]
    assert (made.tax, made.total, made.due) == (D("675.00"), D("4675.00"), D("2337.50"))


def test_totals_of_two_rates():
    """ubl-tc434-example1.xml, its totals: twenty lines at 6 % and 21 %."""
    made = total_up([Taxed(D("183.23"), Rate("S", D(6))), Taxed(D("46.37"), Rate("S", D(21)))], "EUR")
    assert bases(made) == [(D("46.37"), D("9.74")), (D("183.23"), D("10.99"))]
    assert (made.net, made.total) == (D("229.60"), D("250.33"))


def test_three_of_one_thing():
    """ubl-tc434-example9.xml."""
    made = total_up([Taxed(line_amount(D(3), D("49.00"), "EUR"), Rate("S", D(21)))], "EUR")
    assert (made.net, made.tax, made.total) == (D("147.00"), D("30.87"), D("177.87"))


@pytest.mark.parametrize(
    ("base", "percent", "tax"),
    [
        ("1000", "25", "250.00"), ("-6491.34", "25", "-1622.84"), ("2141.05", "14", "299.75"),
        ("2141.19", "2.1", "44.96"), ("-2141.19", "5.5", "-117.77"),
    ],
)  # fmt: skip
def test_tax_of_one_group(base, percent, tax):
    """test/Invoice-unit-UBL/BR-CO-17.xml: the standard's own unit tests, negative bases among them."""
    assert total_up([Taxed(D(base), Rate("S", D(percent)))], "EUR").tax == D(tax)


@pytest.mark.parametrize(
    ("price", "percent", "tax"), [("10.00", "7.25", "0.73"), ("19.99", "8.875", "1.77"), ("33.33", "6.5", "2.17")]
)
@pytest.mark.parametrize("per_item", [True, False])
def test_third_decimal_above_four_rounds_up(price, percent, tax, per_item):
    """Streamlined Sales and Use Tax Agreement § 324 (R.I. Gen. Laws § 44-18.1-25); arithmetic reckoned by hand."""
    assert total_up([Taxed(D(price), Rate("S", D(percent)))], "USD", per_item=per_item).tax == D(tax)


def test_a_raw_tax_is_rounded_once_only():
    """Same source: 1.2346 is 1.23; rounding to a third decimal first would make it 1.24."""
    assert total_up([Taxed(D("12.346"), Rate("S", D(10)))], "USD").tax == D("1.23")


def test_tax_per_item_differs_from_tax_per_group():
    """§ 324 lets the seller elect: three items of 10.00 at 7.25 % are 3 × 0.73 or 2.175."""
    items = [Taxed(D("10.00"), Rate("S", D("7.25")))] * 3
    assert total_up(items, "USD", per_item=True).tax == D("2.19")
    assert total_up(items, "USD").tax == D("2.18")


def test_prices_that_include_tax_stay_as_quoted():
    made = total_up([Taxed(D("120.00"), Rate("S", D(20)))], "GBP", prices_with_tax=True)
    assert (made.net, made.tax, made.total) == (D("100.00"), D("20.00"), D("120.00"))


def test_exempt_and_zero_and_outside_the_scope_bear_no_tax():
    assert total_up([Taxed(D(100), Rate(code, D(20))) for code in "EZO"], "EUR").tax == 0


def test_price_for_a_base_quantity_with_many_decimals():
    """EN 16931 BT-146, BT-149: price 0.123456 for one hundred."""
    assert line_amount(D(2500), D("0.123456"), "EUR", base_quantity=D(100)) == D("3.09")
    with pytest.raises(ValueError, match="above zero"):
        line_amount(D(1), D(1), "EUR", base_quantity=D(0))


def test_a_line_with_its_own_allowance_and_charge():
    assert line_amount(D(4), D("25"), "EUR", allowance=D("10"), charge=D("2.50")) == D("92.50")


def test_margin_is_of_the_price_and_mark_up_of_the_cost():
    """Common practice: a 20 % margin is a 25 % mark-up."""
    assert price_by_margin(D(80), D(20), "EUR") == price_by_markup(D(80), D(25), "EUR") == D("100.00")
    assert margin_of(D(100), D(80)) == D("20.00")
    assert margin_of(D(0), D(80)) is None


def test_no_price_has_a_margin_of_a_hundred():
    with pytest.raises(ValueError, match="below 100"):
        price_by_margin(D(80), D(100), "EUR")


def test_a_screw_keeps_its_price():
    assert price_by_margin(D("0.004"), D(20), "EUR") == D("0.0050")


def test_yen_has_no_cents():
    """ISO 4217: JPY has no minor unit."""
    assert total_up([Taxed(line_amount(D(3), D("33.5"), "JPY"), Rate("S", D(10)))], "JPY").total == D(111)


def test_what_is_kept():
    lines = [
        Costed("part", D(2), D("40"), D("100.00")), Costed("labour", D(5), D("12"), D("200.00")),
        Costed("other", D(1), None, D("10.00")),
    ]  # fmt: skip
    kept = keep_of(lines, D("310.00"), "EUR")
    assert (kept.parts_cost, kept.parts_margin, kept.contribution) == (D("80.00"), D("20.00"), D("230.00"))
    assert (kept.per_hour, kept.after_hours, kept.complete) == (D("46.00"), D("170.00"), True)


def test_nothing_is_kept_per_hour_without_hours():
    kept = keep_of([Costed("part", D(1), None, D("10.00"))], D(10), "EUR")
    assert kept.per_hour is None
    assert not kept.complete


MONEY = st.decimals("-1e12", "1e12", places=2)
RATES = st.sampled_from([S25, S15, EXEMPT, Rate("S", D("8.875")), Rate("Z")])


@given(st.lists(st.builds(Taxed, MONEY, RATES), max_size=12), st.booleans(), st.booleans())
def test_bases_and_taxes_make_up_the_total(lines, with_tax, per_item):
    made = total_up(lines, "EUR", prices_with_tax=with_tax, per_item=per_item)
    assert made.net + made.tax == made.total
    assert made.lines == (made.total if with_tax else made.net)
    assert len({group.rate for group in made.groups}) == len(made.groups)
