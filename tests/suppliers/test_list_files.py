"""Workbooks and long lists through the same pages as a short CSV file."""

from decimal import Decimal

from django.urls import reverse

from parts.catalogue.drafts import ImportDraft
from parts.catalogue.models import Part
from tests.factories import once

from .sending import correct, match, page_of, save, send


class TestAWorkbook:
    def book(self):
        import io

        from openpyxl import Workbook

        book = Workbook()
        book.active.title = "Fans"
        for row in (["Name", "Kind", "Price", "Supplier"], ["Fan A", "fan", 17.35, "Bench Wire"]):
            book.active.append(row)
        rest = book.create_sheet("Rest")
        for row in (["Name", "Kind", "Thickness"], ["Slim", "radiator", 30], ["Thick", None, None]):
            rest.append(row)
        rest.merge_cells("B2:B3")
        rest.merge_cells("C2:C3")
        rest.sheet_state = "hidden"
        out = io.BytesIO()
        book.save(out)
        return out.getvalue()

    def test_its_first_sheet_goes_in_like_any_list(self, owner_client):
        draft = send(owner_client, self.book())
        match(owner_client, draft)
        assert "Save 1 row" in owner_client.get(page_of(draft)).content.decode()
        save(owner_client, draft)
        assert Part.objects.get().prices.get().price == Decimal("17.35")

    def test_another_sheet_may_be_chosen_and_the_first_again(self, owner_client):
        draft = send(owner_client, self.book())
        address = reverse("catalogue:import_columns", args=[draft.pk])
        assert "Rest (hidden)" in owner_client.get(address).content.decode()
        choose = reverse("catalogue:import_sheet", args=[draft.pk])
        owner_client.post(choose, once(sheet="Rest"))
        page = owner_client.get(address).content.decode()
        assert "words hold for each of their rows, numbers are asked for (B2:B3, C2:C3)" in page
        match(owner_client, ImportDraft.objects.get(pk=draft.pk))
        page = owner_client.get(page_of(draft)).content.decode()
        assert "Merged with row 2, which says 30" in page
        assert "1 row has a problem" in page
        correct(owner_client, draft, cell_2_2="45 mm")
        save(owner_client, draft)
        assert Part.objects.get(name="Thick").fact("thickness") == 45.0
        again = owner_client.post(choose, once(sheet="Fans"), follow=True).content.decode()
        assert "saved already" in again

    def test_a_sheet_that_is_not_there_changes_nothing(self, owner_client):
        draft = send(owner_client, self.book())
        answer = owner_client.post(reverse("catalogue:import_sheet", args=[draft.pk]), once(sheet="Gone"), follow=True)
        assert "no other sheet" in answer.content.decode()
        assert ImportDraft.objects.get(pk=draft.pk).sheet == "Fans"


class TestALongList:
    def rows(self, count):
        return "Name;Kind;Thickness (mm)\n" + "".join(f"Fan {n};fan;25\n" for n in range(count))

    def test_its_page_says_how_far_it_is_and_then_shows_the_rows(self, owner_client):
        draft = send(owner_client, self.rows(2000) + "Odd;gizmo;25\n")
        match(owner_client, draft)
        answer = owner_client.get(page_of(draft))
        assert answer.streaming
        pieces = [piece.decode() for piece in answer]
        said = [piece for piece in pieces if 'class="checking"' in piece]
        assert [piece.split("value=")[1][:6] for piece in said] == ['"500">', '"1000"', '"1500"', '"2000"']
        page = "".join(pieces)
        assert page.index("2000 of 2002 rows checked") < page.index("2001 rows read")
        assert "“gizmo” is not a kind known here" in page
        assert page.rstrip().endswith("</html>")
        assert correct(owner_client, draft, cell_2001_1="fan").status_code == 302

    def test_a_short_one_comes_at_once(self, owner_client, draft):
        answer = owner_client.get(page_of(draft))
        assert not answer.streaming
        assert "rows checked" not in answer.content.decode()
