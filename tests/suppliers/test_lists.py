"""A parts list read in through its pages: sent, matched, looked through, saved all or nothing, taken back."""

from decimal import Decimal
from pathlib import Path

import pytest
from django.urls import reverse

from parts.catalogue.drafts import ImportDraft, RememberedMatching
from parts.catalogue.models import Fact, Part
from parts.suppliers.models import Supplier, SupplierPrice
from parts.workshop.models import AuditEntry
from tests.factories import PartFactory, PersonFactory, SupplierFactory, SupplierPriceFactory, once

from .sending import LIST, SEND, correct, file, match, page_of, save, send


def test_a_list_goes_in_whole(owner_client, draft):
    page = owner_client.get(page_of(draft)).content.decode()
    assert "4 rows read" in page
    assert "1 blank line skipped" in page
    assert "“gizmo” is not a kind known here" in page
    assert "New suppliers will be made: Bench Wire, Tidewater Cooling." in page
    assert correct(owner_client, draft, cell_4_1="consumable").status_code == 302
    assert "Save all 4 rows" in owner_client.get(page_of(draft)).content.decode()
    page = save(owner_client, draft).content.decode()
    assert "4 rows were saved." in page
    fan = Part.objects.get(name="Fan 120 × 25")
    assert (fan.kind, fan.fact("thickness"), fan.note) == ("fan", 25.0, "one spare")
    assert fan.prices.get().price == Decimal("17.35")
    assert Supplier.objects.get(name="Tidewater Cooling").currency == "EUR"
    assert SupplierPrice.objects.count() == 3
    assert AuditEntry.objects.filter(verb="parts list saved").exists()


def test_facts_that_a_list_sets_stand_in_their_parts_history(owner_client, draft):
    fan = PartFactory(kind="fan", name="Fan 120 × 25", facts={"thickness": 26.0})
    correct(owner_client, draft, cell_4_1="consumable")
    save(owner_client, draft)
    [change] = fan.history("thickness")
    assert (change.before, change.after, change.who) == ("26 mm", "25 mm", "wright")


def test_what_was_saved_is_there_for_a_spec(owner_client, draft):
    correct(owner_client, draft, cell_4_1="consumable")
    save(owner_client, draft)
    draft.refresh_from_db()
    assert list(ImportDraft.objects.in_catalogue()) == [draft]
    rows = [(part.name, quantity, remark) for part, quantity, remark in draft.saved_rows()]
    assert rows[1] == ("Fan 120 × 25", Decimal(6), "one spare")
    assert rows[3] == ("Clear tube 13 mm", Decimal("2.5"), "metres")


def test_nothing_is_saved_while_one_row_has_a_problem(owner_client, draft):
    page = save(owner_client, draft).content.decode()
    assert "Nothing was saved: 1 row still has a problem" in page
    assert not Part.objects.exists()
    assert not Supplier.objects.exists()
    draft.refresh_from_db()
    assert draft.saved_at is None


def test_a_row_may_be_left_out_and_taken_back_in(owner_client, draft):
    correct(owner_client, draft, out_4="on")
    page = owner_client.get(page_of(draft)).content.decode()
    assert "1 left out" in page
    assert "left out: Sleeving, black" in page
    correct(owner_client, draft)
    assert "“gizmo” is not a kind" in owner_client.get(page_of(draft)).content.decode()
    correct(owner_client, draft, out_4="on")
    save(owner_client, draft)
    assert Part.objects.count() == 3


def test_a_correction_that_does_not_help_is_kept_and_told_again(owner_client):
    draft = send(owner_client, LIST.replace("74,20", "dear"))
    match(owner_client, draft)
    correct(owner_client, draft, cell_1_3="very dear")
    page = owner_client.get(page_of(draft)).content.decode()
    assert 'value="very dear"' in page
    assert "Type an amount" in page
    correct(owner_client, draft, cell_1_3="74,20", cell_4_1="consumable")
    assert "No problems" in owner_client.get(page_of(draft)).content.decode()


def test_one_corrected_kind_corrects_every_row_that_says_the_same(owner_client):
    draft = send(owner_client, LIST + "More sleeving;gizmo;Bench Wire;8,50;1;;\n")
    match(owner_client, draft)
    correct(owner_client, draft, cell_4_1="consumable")
    assert "No problems" in owner_client.get(page_of(draft)).content.decode()


def test_the_same_list_again_makes_nothing_twice(owner_client, draft):
    correct(owner_client, draft, cell_4_1="consumable")
    save(owner_client, draft)
    again = send(owner_client, LIST.replace("gizmo", "consumable").replace("74,20", "79,90").replace("Fan", "FAN"))
    match(owner_client, again)
    save(owner_client, again)
    assert (Part.objects.count(), Supplier.objects.count(), SupplierPrice.objects.count()) == (4, 2, 3)
    assert SupplierPrice.objects.get(part__name="Radiator 3×120").price == Decimal("79.9")


def test_columns_are_remembered_for_the_next_list_of_these_headings(owner_client):
    text = "Dies;Das;Thickness\nFan A;fan;25\n"
    first = send(owner_client, text)
    match(owner_client, first, header="1", column_0="name", column_1="kind", column_2="remark")
    assert RememberedMatching.objects.count() == 1
    assert send(owner_client, text.replace("Fan A", "Fan B")).columns != ["name", "kind", "remark"]  # no headings known
    known = "Name;Das;Thickness;Price\nFan A;fan;25;3\n"
    match(owner_client, send(owner_client, known), column_1="kind", column_2="remark", supplier="Tidewater")
    next_one = send(owner_client, known.replace("Fan A", "Fan B"))
    assert (next_one.columns, next_one.supplier) == (["name", "kind", "remark", "price"], "Tidewater")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"column_0": ""}, "which column holds the parts"),
        ({"column_1": ""}, "which column holds the kind"),
        ({"column_5": "name"}, "Two columns cannot hold the same thing"),
        ({"column_5": "colour"}, "Select a valid choice"),
        ({"header": "99"}, "The list has 6 rows"),
        ({"kind": "gizmo"}, "Select a valid choice"),
    ],
)
def test_a_matching_that_cannot_be_is_told(owner_client, changed, said):
    draft = send(owner_client)
    answer = match(owner_client, draft, **changed)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    draft.refresh_from_db()
    assert draft.matched_at is None


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"PK\x03\x04" + b"\x00" * 100, "cannot be opened"),
        (b"%PDF-1.4", "not a CSV file but PDF"),
        (b"\x00\x01\x02" * 500, "not a text file"),
        (b"", "empty"),
    ],
)
def test_a_file_that_is_no_list_is_refused_at_its_field(owner_client, data, said):
    page = owner_client.post(SEND, once(file=file(data)))
    assert said in str(page.context["form"].errors["file"])
    assert not ImportDraft.objects.exists()


def test_a_file_of_50_mb_is_refused_by_its_size_without_being_read(owner_client, monkeypatch):
    monkeypatch.setattr("parts.suppliers.list_forms.read_file", lambda data: pytest.fail("it was read"))
    page = owner_client.post(SEND, once(file=file(b"x" * 50 * 2**20)))
    assert "This file has 50.0 MB; a parts list has at most 5 MB" in page.content.decode()


@pytest.mark.parametrize(
    "typed", ["javascript:alert(1)", "data:text/html,x", "ask on the telephone", "mailto:a@b.example"]
)
def test_a_link_in_a_list_can_only_lead_to_a_web_page(owner_client, typed):
    draft = send(owner_client, f"Name;Kind;Supplier;Price;Link\nFan;fan;Tidewater;5;{typed}\n")
    match(owner_client, draft)
    assert "Type a web address" in owner_client.get(page_of(draft)).content.decode()
    correct(owner_client, draft, cell_1_4="tide.example:8080/fan?a=1")
    save(owner_client, draft)
    assert SupplierPrice.objects.get().link == "https://tide.example:8080/fan?a=1"


def test_no_file_at_all(owner_client):
    assert "Choose a file" in owner_client.post(SEND, once()).content.decode()


def test_saving_twice_has_one_effect(owner_client, draft):
    correct(owner_client, draft, cell_4_1="consumable")
    press = once()
    save(owner_client, draft, **press)
    assert "done already" in save(owner_client, draft, **press).content.decode()
    assert "saved already" in save(owner_client, draft).content.decode()
    assert Part.objects.count() == 4


def test_a_stale_correction_is_told(owner_client, draft):
    stale = once(version=draft.version, cell_4_1="cable")
    correct(owner_client, draft, cell_4_1="consumable", out_4="on")
    correct(owner_client, draft)
    ImportDraft.objects.filter(pk=draft.pk).update(corrections={})
    page = owner_client.post(page_of(draft), stale).content.decode()
    assert "Somebody changed this while you were typing" in page


def test_a_saved_list_takes_no_more_corrections(owner_client, draft):
    correct(owner_client, draft, cell_4_1="consumable")
    save(owner_client, draft)
    answer = correct(owner_client, draft, cell_1_0="Other")
    assert answer.url == reverse("catalogue:import_saved", args=[draft.pk])
    assert "Saved on" in owner_client.get(answer.url).content.decode()
    assert Part.objects.filter(name="Radiator 3×120").exists()


def test_lists_are_their_senders_own(owner_client, draft, client):
    client.force_login(PersonFactory(username="partner", role="owner"))
    for name in ("import_preview", "import_columns", "import_saved"):
        assert client.get(reverse(f"catalogue:{name}", args=[draft.pk])).status_code == 404
    for name in ("import_save", "import_undo", "import_forget"):
        assert client.post(reverse(f"catalogue:{name}", args=[draft.pk]), once()).status_code == 404


def test_a_helper_reads_in_no_lists(helper_client):
    assert helper_client.get(SEND).status_code == 403


def test_a_list_is_thrown_away(owner_client, draft):
    owner_client.post(reverse("catalogue:import_forget", args=[draft.pk]), once())
    assert not ImportDraft.objects.exists()


def undo(client, draft):
    return client.post(reverse("catalogue:import_undo", args=[draft.pk]), once(), follow=True).content.decode()


class TestTakingAListBack:
    @pytest.fixture
    def saved(self, owner_client, draft):
        old = PartFactory(kind="radiator", name="Radiator 3×120", facts={"thickness": 28.0})
        supplier = SupplierFactory(name="Tidewater Cooling", currency="EUR")
        SupplierPriceFactory(part=old, supplier=supplier, price="70.00", code="TW-3")
        correct(owner_client, draft, cell_4_1="consumable")
        save(owner_client, draft)
        assert old.prices.get().price == Decimal("74.2")
        assert old.fact("thickness") == 30.0
        return draft

    def test_everything_is_as_before(self, owner_client, saved):
        assert "was taken back" in undo(owner_client, saved)
        part = Part.objects.get()
        assert part.fact("thickness") == 28.0
        assert (part.prices.get().price, part.prices.get().code) == (Decimal(70), "TW-3")
        assert [s.name for s in Supplier.objects.all()] == ["Tidewater Cooling"]
        assert "Saved, and taken back" in owner_client.get(page_of(saved), follow=True).content.decode()
        assert "taken back already" in undo(owner_client, saved)

    @pytest.mark.parametrize("touch", ["price", "fact", "part", "other price"])
    def test_not_when_something_was_changed_since(self, owner_client, saved, owner, touch):
        old, fan = Part.objects.get(name="Radiator 3×120"), Part.objects.get(name="Fan 120 × 25")
        if touch == "price":
            SupplierPrice.objects.filter(part=old).update(version=9)
        elif touch == "fact":
            old.set_fact("thickness", 31.0, Fact.DECLARED, by=owner)
        elif touch == "part":
            Part.objects.filter(pk=fan.pk).update(version=2)
        else:
            SupplierPriceFactory(part=fan)
        assert "cannot be taken back" in undo(owner_client, saved)
        assert Part.objects.count() == 4

    def test_not_when_a_part_is_used(self, owner_client, saved):
        from tests.factories import SpecLineFactory

        SpecLineFactory(part=Part.objects.get(name="Fan 120 × 25"))
        assert "is used already" in undo(owner_client, saved)
        assert Part.objects.count() == 4


def test_the_list_of_the_journey_reads_with_its_one_wrong_kind(owner_client):
    data = (Path(__file__).parents[2] / "fixtures/lists/harbour-machine.csv").read_bytes()
    draft = send(owner_client, data)
    assert draft.columns == ["name", "kind", "supplier", "price", "quantity", "remark"]
    match(owner_client, draft)
    page = owner_client.get(page_of(draft)).content.decode()
    assert "29 rows read" in page
    assert "1 row has a problem" in page
    correct(owner_client, draft, cell_25_1="consumable")
    save(owner_client, draft)
    assert Part.objects.count() == 29
    assert Supplier.objects.get(name="Northgate Parts").currency == "GBP"


def test_a_longer_list_asks_no_more_queries(owner_client, django_assert_max_num_queries):
    def lines(count):
        return "Name;Kind;Supplier;Price;Thickness\n" + "".join(f"Fan {n};fan;S;{n},50;25\n" for n in range(1, count))

    counts = []
    for size in (3, 9, 90):  # from the second on, each list also finds parts that were made before
        draft = send(owner_client, lines(size))
        match(owner_client, draft)
        with django_assert_max_num_queries(20) as look:
            owner_client.get(page_of(draft))
        with django_assert_max_num_queries(45) as saving:
            owner_client.post(reverse("catalogue:import_save", args=[draft.pk]), once())
        counts.append((len(look), len(saving)))
    assert counts[2] == counts[1]
