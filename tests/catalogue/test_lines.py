"""A list's columns guessed, its rows read, every problem at its row and column; no database."""

from decimal import Decimal

import pytest

from parts.catalogue.headers import fact_targets, find_header, find_target, guess_columns
from parts.catalogue.lines import Known, Matching
from parts.catalogue.row_reader import read_lines
from parts.kinds import all_kinds


def read(rows, *columns, header=None, known=None, **options):
    return read_lines(rows, Matching(columns, header, **options), known or Known())


def problems(reading):
    return [(p.row, p.column, p.message) for p in reading.problems]


@pytest.mark.parametrize(
    ("headings", "columns"),
    [
        (["Name", "Kind", "Supplier", "Price", "Quantity", "Remark"], "name kind supplier price quantity remark"),
        (["Menge", "Bezeichnung", "Art", "Einzelpreis (€)", "Lieferant"], "quantity name kind price supplier"),
        (["Désignation", "Catégorie", "Fournisseur", "Prix unitaire", "Qté"], "name kind supplier price quantity"),
        (["Descripción", "Tipo", "Proveedor", "Precio", "Cantidad"], "name kind supplier price quantity"),
        (["Item", "Type", "Vendor", "Unit price", "Qty", "Link"], "name kind supplier price quantity link"),
        (["Part", "Kind", "Thickness (mm)", "fins per inch"], "name kind fact:thickness fact:fins_per_inch"),
    ],
)
def test_columns_are_known_by_their_headings_in_any_language_and_order(headings, columns):
    assert guess_columns([headings], 0) == columns.split()


def test_a_title_above_the_headings_is_passed_over():
    rows = [["Shopping for the harbour machine", "", ""], ["", "", ""], ["Part", "Kind", "Price"], ["Fan", "fan", "1"]]
    assert find_header(rows) == 2


def test_without_headings_the_cells_tell():
    rows = [["fan", "Fan 120 mm, slow", "€ 12,50"], ["radiator", "Radiator 3×120", "€ 74,20"]]
    assert find_header(rows) is None
    assert guess_columns(rows, None) == ["kind", "name", "price"]


def test_every_fact_is_found_by_its_label_and_no_label_means_two():
    labels = {}
    for kind in all_kinds().values():
        for spec in kind.facts:
            assert labels.setdefault(str(spec.label), spec.name) == spec.name
    for target, label in fact_targets().items():
        assert find_target(str(label)) == target


def test_a_builders_row_is_read_whole():
    rows = [["Fan 120 mm", "Fans", "Tidewater Cooling", "€ 1.234,50", "6 pcs", "one spare", "tide.example/17"]]
    columns = ("name", "kind", "supplier", "price", "quantity", "remark", "link")
    [line] = read(rows, *columns).lines
    assert (line.name, line.kind, line.supplier) == ("Fan 120 mm", "fan", "Tidewater Cooling")
    assert (line.price, line.currency, line.quantity) == (Decimal("1234.50"), "EUR", 6)
    assert (line.remark, line.link) == ("one spare", "https://tide.example/17")


@pytest.mark.parametrize(
    ("kind", "typed", "quantity"),
    [
        ("fan", "2", "2"), ("fan", "2x", "2"), ("fan", "3 Stk.", "3"), ("tube", "2,5", "2.5"),
        ("tube", "150 cm", "1.5"), ("coolant", "500 ml", "0.5"), ("coolant", "", "1"),
    ],
)  # fmt: skip
def test_quantities_as_people_write_them(kind, typed, quantity):
    [line] = read([["P", kind, typed]], "name", "kind", "quantity").lines
    assert line.quantity == Decimal(quantity)


def test_mixed_commas_and_points_are_read_each_by_itself():
    rows = [["A", "fan", "S", "12,50"], ["B", "fan", "S", "12.50 €"], ["C", "fan", "S", "1.250,00"]]
    lines = read(rows, "name", "kind", "supplier", "price").lines
    assert [line.price for line in lines] == [Decimal("12.5"), Decimal("12.5"), Decimal("1250")]


def test_an_ambiguous_price_is_settled_by_the_rest_of_the_list_or_asked_about():
    columns = ("name", "kind", "supplier", "price")
    doubt = ["B", "fan", "S", "1,234"]
    with_commas = read([["A", "fan", "S", "12,50"], doubt], *columns)
    assert with_commas.lines[1].price == Decimal("1.234")
    with_points = read([["A", "fan", "S", "12.50"], doubt], *columns)
    assert with_points.lines[1].price == Decimal("1234")
    mixed = read([["A", "fan", "S", "12.50"], ["C", "fan", "S", "9,90"], doubt], *columns)
    assert [(p.row, p.column) for p in mixed.problems] == [(2, 3)]
    assert read([doubt], *columns, decimal=",").lines[0].price == Decimal("1.234")


def test_a_wrong_kind_is_told_with_what_it_may_be():
    [problem] = read([["Cable sleeving", "gizmo"]], "name", "kind").problems
    assert (problem.row, problem.column) == (0, 1)
    assert "gizmo" in problem.message
    assert problem.choices[0] == ("wire", "wire or sleeve")


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        (["", "fan", "S", "1", "1"], 0, "names no part"),
        (["x" * 161, "fan", "S", "1", "1"], 0, "161 characters; at most 160"),
        (["P", "", "S", "1", "1"], 1, "names no kind"),
        (["P", "fan", "", "1", "1"], 2, "needs a supplier"),
        (["P", "fan", "S", "cheap", "1"], 3, "Type an amount"),
        (["P", "fan", "S", "-5", "1"], 3, "not between 0"),
        (["P", "fan", "S", "12 or 13", "1"], 3, "Type an amount"),
        (["P", "fan", "S", "1", "two"], 4, "type a number, as in 2"),
        (["P", "fan", "S", "1", "1.5"], 4, "type a number, as in 2"),
        (["P", "fan", "S", "1", "2 kg"], 4, "counted in pieces"),
        (["P", "tube", "S", "1", "2 kg"], 4, "is a mass, not a length"),
        (["P", "fan", "S", "1", "0"], 4, "not a quantity"),
    ],
)
def test_each_problem_stands_at_its_cell(row, column, said):
    reading = read([["heading"] * 5, row], "name", "kind", "supplier", "price", "quantity", header=0)
    assert [(p.row, p.column) for p in reading.problems] == [(1, column)], problems(reading)
    assert said in reading.problems[0].message


def test_how_a_part_travels_is_read_or_asked_about():
    rows = [["P", "fan", "Sperrgut"], ["Q", "fan", "pallets"], ["R", "fan", ""], ["T", "fan", "by balloon"]]
    reading = read(rows, "name", "kind", "carriage")
    assert [line.carriage for line in reading.lines] == ["bulky", "pallet", "", ""]
    [(row, column, said)] = problems(reading)
    assert (row, column) == (3, 2)
    assert "letter, parcel, bulky parcel, pallet, dangerous goods" in said


def test_a_price_without_any_column_for_its_supplier_points_to_the_columns():
    [problem] = read([["P", "fan", "3"]], "name", "kind", "price").problems
    assert problem.column is None
    assert not read([["P", "fan", "3"]], "name", "kind", "price", supplier="S").problems


def test_rows_may_lean_on_one_kind_and_one_supplier():
    [line] = read([["P", "3"]], "name", "price", kind="fitting", supplier="Tidewater").lines
    assert (line.kind, line.supplier) == ("fitting", "Tidewater")


def test_a_suppliers_currency_is_kept():
    known = Known(suppliers={"tidewater": "EUR"})
    reading = read([["P", "fan", "Tidewater", "£ 5"]], "name", "kind", "supplier", "price", known=known)
    assert "sells in EUR, but this price is in GBP" in reading.problems[0].message


def test_an_unknown_supplier_is_made_or_told():
    rows, columns = [["P", "fan", "Tidewatr"]], ("name", "kind", "supplier")
    known = Known(suppliers={"tidewater": "EUR"})
    assert read(rows, *columns, known=known).new_suppliers == ["Tidewatr"]
    [problem] = read(rows, *columns, known=known, make_suppliers=False).problems
    assert "not a supplier known here" in problem.message


def test_the_same_part_twice_must_not_say_two_things():
    rows = [["P", "fan", "S", "5", "25 mm"], ["p", "fan", "s", "6", "38 mm"], ["P", "fan", "S", "5", "25"]]
    reading = read(rows, "name", "kind", "supplier", "price", "fact:thickness")
    assert [(p.row, p.column) for p in reading.problems] == [(1, 3), (1, 4)]


def test_facts_are_read_in_their_units():
    rows = [["Part", "Kind", "Thickness (in)", "Free air flow", "Fins per inch"], ["R", "radiator", "1.77", "", "16"],
            ["F", "fan", "1", "61 CFM", ""]]  # fmt: skip
    reading = read(rows, "name", "kind", "fact:thickness", "fact:free_flow", "fact:fins_per_inch", header=0)
    assert not reading.problems
    radiator, fan = (line.facts for line in reading.lines)
    assert radiator == {"thickness": pytest.approx(44.958), "fins_per_inch": 16.0}
    assert fan == {"thickness": pytest.approx(25.4), "free_flow": pytest.approx(103.64, abs=0.01)}


@pytest.mark.parametrize(
    ("lead", "warranty", "days", "months"),
    [
        ("5", "24", 5, 24), ("5 days", "24 months", 5, 24), ("2 weeks", "2 years", 14, 24),
        ("1,5 Wochen", "2 J", 11, None),
        ("3 Tage", "3 Jahre", 3, 36), ("0", "0", 0, 0), ("3-5 days", "lifetime", None, None),
        ("2 fortnights", "1 yr.", None, 12),
        ("soon", "24 (m)", None, 24), ("200 weeks", "200 years", None, None), ("-3", "-1", None, None),
    ],
)  # fmt: skip
def test_spans_of_time_are_read_in_what_they_say_or_asked_about(lead, warranty, days, months):
    reading = read([["R", "radiator", lead, warranty]], "name", "kind", "lead_days", "warranty")
    [line] = reading.lines
    assert (line.lead_days, line.warranty) == (days, months)
    asked = {column for _row, column, _said in problems(reading)}
    assert asked == {at for at, value in ((2, days), (3, months)) if value is None}


def test_a_heading_says_what_its_bare_spans_are_in():
    rows = [["Part", "Kind", "Lieferzeit in Wochen", "Garantie (Jahre)"], ["R", "radiator", "2", "3"],
            ["S", "radiator", "2 Tage", "18 Monate"]]  # fmt: skip
    lines = read(rows, "name", "kind", "lead_days", "warranty", header=0).lines
    assert [(line.lead_days, line.warranty) for line in lines] == [(14, 36), (2, 18)]


@pytest.mark.parametrize("typed", ["1 3/4", "1-3/4", "1¾", "1.75", "1,75", '1 3/4"', "1 3/4 in", "44.45 mm"])
def test_fractions_take_the_columns_unit_too(typed):
    """1 in = 25.4 mm (international inch of 1959, from memory), so 1 3/4 in = 44.45 mm."""
    [line] = read([["Part", "Kind", "Thickness (in)"], ["R", "radiator", typed]], "name", "kind", "fact:thickness",
                  header=0).lines  # fmt: skip
    assert line.facts == {"thickness": pytest.approx(44.45)}


@pytest.mark.parametrize("typed", ["30-32", "~30", "ca. 30"])
def test_what_is_no_one_number_is_told_as_it_was_typed(typed):
    [(_row, column, said)] = problems(read([["R", "radiator", typed]], "name", "kind", "fact:thickness"))
    assert column == 2
    assert f"“{typed}”" in said


@pytest.mark.parametrize(
    ("kind", "thickness", "core", "column", "said"),
    [
        ("radiator", "45 W", "", 2, "is a power, not a length"),
        ("radiator", "2 m", "", 2, "at most 120 mm"),
        ("radiator", "30", "40", 3, "is not possible with thickness 30 mm"),
        ("fan", "25", "20", 3, "has no “depth of the finned core”"),
    ],
)
def test_a_fact_that_cannot_be_is_told_at_its_cell(kind, thickness, core, column, said):
    reading = read([["P", kind, thickness, core]], "name", "kind", "fact:thickness", "fact:core_depth")
    assert [(p.row, p.column) for p in reading.problems] == [(0, column)]
    assert said in reading.problems[0].message


def test_a_fact_is_held_against_what_the_catalogue_knows():
    known = Known(parts={("radiator", "slim one"): {"thickness": ("declared", 30.0)}})
    reading = read([["Slim  One", "radiator", "40"]], "name", "kind", "fact:core_depth", known=known)
    assert "is not possible with thickness 30 mm" in reading.problems[0].message


def test_a_value_that_is_set_aside_contradicts_nothing():
    known = Known(parts={("radiator", "slim one"): {"core_depth": ("measured", 25.0), "thickness": ("typical", 30.0)}})
    row = [["Slim One", "radiator", "28 mm", "40 mm"]]
    columns = ("name", "kind", "fact:thickness", "fact:core_depth")
    assert not read(row, *columns, known=known).problems
    assert read(row, *columns, known=known, origin="measured").problems


def test_rows_of_one_part_are_held_against_each_other():
    columns = ("name", "kind", "fact:thickness", "fact:core_depth")
    rows = [["A", "radiator", "", "45 mm"], ["B", "radiator", "45 mm", ""], ["a", "radiator", "30 mm", ""],
            ["A", "radiator", "30 mm", "45 mm"]]  # fmt: skip
    [(row, column, said)] = problems(read(rows, *columns))
    assert (row, column) == (0, 3)  # told where the core is said, and once
    assert "45 mm is not possible with thickness 30 mm" in said


def test_blank_rows_are_counted_and_rows_left_out_are_not_read():
    rows = [["P", "fan"], ["", ""], ["Total", "gizmo"]]
    reading = read_lines(rows, Matching(("name", "kind")), Known(), left_out={2})
    assert (len(reading.lines), reading.blank, reading.problems) == (1, 1, [])
