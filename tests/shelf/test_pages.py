from decimal import Decimal

import pytest

from parts.shelf.models import Move, Stock, Tray, Unit
from tests.counting import queries
from tests.factories import JobFactory, PartFactory, PlaceFactory, once


@pytest.fixture
def lying(owner):
    Stock.put_in(
        part=PartFactory(name="Fan 120"), tray=Tray.free_shelf(), place=PlaceFactory(name="bench"),
        quantity=Decimal(4), reason="counted", by=owner,
    )  # fmt: skip
    return Stock.objects.get()


def text(answer):
    return answer.content.decode()


def test_the_shelf_is_searched_by_part_tray_and_place(owner_client, owner, lying):
    job = JobFactory()
    Stock.put_in(
        part=PartFactory(name="Pump"), tray=job.tray, place=PlaceFactory(name="box 3"), quantity=Decimal(1),
        reason="counted", by=owner,
    )  # fmt: skip
    for asked in ({"q": "pump"}, {"q": job.tray.name}, {"q": "box pump"}, {"tray": job.tray.name}, {"place": "box 3"}):
        shown = text(owner_client.get("/shelf/", asked, headers={"HX-Request": "true"}))
        assert "Pump" in shown, asked
        assert "Fan 120" not in shown, asked
        assert "<html" not in shown


def test_the_list_asks_no_more_for_more_stock(owner_client, owner):
    def more(count):
        for part in PartFactory.create_batch(count):
            Stock.put_in(
                part=part, tray=JobFactory().tray, place=PlaceFactory(), quantity=Decimal(1), reason="counted", by=owner
            )

    more(2)
    owner_client.get("/shelf/")
    few = queries(lambda: owner_client.get("/shelf/"))
    more(20)
    assert queries(lambda: owner_client.get("/shelf/")) == few


def test_a_helper_carries_parts_to_a_jobs_tray(helper_client, lying):
    job = JobFactory(number=42)
    sent = once(quantity="3", tray="42", place="", reason="")
    assert helper_client.post(f"/shelf/{lying.pk}/move/", sent).status_code == 302
    assert helper_client.post(f"/shelf/{lying.pk}/move/", sent).status_code == 302  # hit twice
    assert Stock.objects.get(tray=job.tray).quantity == 3
    assert Move.objects.first().reason == "to J-0042 by hand"


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"quantity": "9"}, "quantity", "Only 4 of Fan 120 lie there now"),
        ({"quantity": "-1"}, "quantity", "above zero"),
        ({"quantity": "1,5"}, "quantity", "whole number"),
        ({"quantity": "two"}, "quantity", "1234.50"),
        ({"tray": "J-9999"}, "tray", "No tray is called “J-9999”"),
    ],
)
def test_a_bad_move_says_so_at_its_field_and_keeps_what_was_typed(helper_client, lying, change, field, said):
    JobFactory(number=42)
    answer = helper_client.post(
        f"/shelf/{lying.pk}/move/", once(quantity="1", tray="J-0042", reason="keep me") | change
    )
    assert said in " ".join(answer.context["moving"].errors[field])
    assert "keep me" in text(answer)
    assert Stock.objects.get().quantity == 4


def test_a_helper_corrects_a_count_with_a_reason(helper_client, lying):
    answer = helper_client.post(f"/shelf/{lying.pk}/count/", once(found="3", reason=""))
    assert "reason" in answer.context["counting"].errors
    helper_client.post(f"/shelf/{lying.pk}/count/", once(found="3", reason="one was cracked"))
    assert Stock.objects.get().quantity == 3
    shown = text(helper_client.get(f"/shelf/{lying.pk}/"))
    assert "one was cracked" in shown


def test_a_helper_puts_in_what_lay_in_a_drawer(helper_client, db):
    part = PartFactory(name="Straight fitting")
    assert "Straight fitting" in text(helper_client.get("/shelf/put-in/", {"q": "fitting"}))
    sent = {
        "quantity": "2", "tray": "free shelf", "place": "drawer 4", "owner": "ours", "reason": "found",
        "serials": "A1\nA2",
    }  # fmt: skip
    Tray.free_shelf()
    assert helper_client.post(f"/shelf/put-in/{part.pk}/", once(**sent)).status_code == 302
    assert (Stock.objects.get().quantity, Stock.objects.get().place.name) == (2, "drawer 4")
    assert Unit.objects.count() == 2
    answer = helper_client.post(f"/shelf/put-in/{part.pk}/", once(**sent))
    assert "A1 is here already" in " ".join(answer.context["form"].errors["serials"])
    assert Stock.objects.get().quantity == 2


def test_no_price_is_on_the_shelf_and_a_missing_row_is_missing(helper_client, lying):
    assert helper_client.get("/shelf/999999/").status_code == 404
    assert helper_client.post("/shelf/999999/move/").status_code == 404
    assert helper_client.get("/shelf/put-in/999999/").status_code == 404
