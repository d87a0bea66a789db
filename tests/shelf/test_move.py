from decimal import Decimal

import pytest

from parts.shelf.models import Move, Place, Stock, Tray, Unit
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory, PlaceFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def lying(owner):
    """Four of a part on the free shelf."""
    Stock.put_in(
        part=PartFactory(name="Fan 120"), tray=Tray.free_shelf(), place=PlaceFactory(name="bench"),
        quantity=Decimal(4), reason="counted", by=owner,
    )  # fmt: skip
    return Stock.objects.get()


def test_a_reservation_is_one_recorded_move(owner, lying):
    job = JobFactory()
    move = lying.move(tray=job.tray, quantity=Decimal(3), reason=f"for {job}", by=owner)
    lying.refresh_from_db()
    theirs = Stock.objects.get(tray=job.tray)
    assert (lying.quantity, theirs.quantity, theirs.place) == (1, 3, lying.place)
    assert (move.source, move.target, move.quantity) == (lying, theirs, 3)
    assert Move.objects.count() == 2  # the count, and this one


def test_a_swap_between_jobs_is_one_move_as_well(owner, lying):
    first, second = JobFactory(), JobFactory()
    lying.move(tray=first.tray, quantity=Decimal(4), reason="for the first", by=owner)
    Stock.objects.get(tray=first.tray).move(tray=second.tray, quantity=Decimal(1), reason="lent", by=owner)
    held = Stock.objects.by_tray_and_part([first.tray, second.tray])
    assert held == {(first.tray.pk, lying.part_id, "ours"): 3, (second.tray.pk, lying.part_id, "ours"): 1}


def test_another_box_in_the_same_tray(owner, lying):
    lying.move(place=Place.named("box 7"), quantity=Decimal(1), reason="sorted", by=owner)
    assert sorted(Stock.objects.values_list("place__name", "quantity")) == [("bench", 3), ("box 7", 1)]


def test_more_than_lies_there_is_refused_with_the_number(owner, lying):
    with pytest.raises(Refused, match="Only 4 of Fan 120 lie there now") as refusal:
        lying.move(tray=JobFactory().tray, quantity=Decimal(5), reason="for a job", by=owner)
    assert refusal.value.field == "quantity"
    assert Stock.objects.lying().get().quantity == 4


def test_moving_to_where_it_lies_is_refused(owner, lying):
    with pytest.raises(Refused, match="lies there already"):
        lying.move(quantity=Decimal(1), reason="nowhere", by=owner)


def test_serial_numbers_go_along_when_everything_goes(owner, lying):
    job = JobFactory()
    Stock.put_in(
        part=lying.part, tray=lying.tray, place=lying.place, quantity=Decimal(1), reason="counted", by=owner,
        serials=["S5"],
    )  # fmt: skip
    lying.move(tray=job.tray, quantity=Decimal(5), reason="all for one", by=owner)
    assert Unit.objects.get().tray == job.tray


def test_which_serial_number_goes_must_be_said_when_it_is_not_clear(owner):
    part, place, shelf, job = PartFactory(), PlaceFactory(), Tray.free_shelf(), JobFactory()
    Stock.put_in(
        part=part, tray=shelf, place=place, quantity=Decimal(2), reason="counted", by=owner, serials=["S1", "S2"]
    )
    stock = Stock.objects.get()
    with pytest.raises(Refused, match="S1, S2") as refusal:
        stock.move(tray=job.tray, quantity=Decimal(1), reason="one", by=owner)
    assert refusal.value.field == "units"
    assert Stock.objects.get().quantity == 2
    stock.move(tray=job.tray, quantity=Decimal(1), reason="one", by=owner, units=[Unit.objects.get(serial="S2")])
    assert list(Unit.objects.order_by("serial").values_list("serial", "tray")) == [
        ("S1", shelf.pk),
        ("S2", job.tray.pk),
    ]


def test_a_clients_own_part_does_not_become_ours(owner):
    job = JobFactory()
    Stock.put_in(
        part=PartFactory(), tray=job.tray, place=PlaceFactory(), quantity=Decimal(1), reason="from the client",
        by=owner, owner="client",
    )  # fmt: skip
    with pytest.raises(Refused, match="client's own"):
        Stock.objects.get().move(tray=Tray.free_shelf(), quantity=Decimal(1), reason="spare", by=owner)


def test_taking_out_for_good_remembers_the_serial(owner):
    part, place = PartFactory(), PlaceFactory()
    Stock.put_in(
        part=part, tray=Tray.free_shelf(), place=place, quantity=Decimal(1), reason="counted", by=owner, serials=["S1"]
    )
    move = Stock.objects.get().take_out(quantity=Decimal(1), reason="cracked", by=owner)
    assert not Stock.objects.lying().exists()
    assert (move.target, move.reason) == (None, "cracked")
    assert Unit.objects.get().left == move


def test_a_count_is_corrected_up_and_down(owner, lying):
    lying.correct(found=Decimal(6), reason="counted again", by=owner)
    assert Stock.objects.get().quantity == 6
    lying.correct(found=Decimal(0), reason="none left", by=owner)
    assert Stock.objects.get().quantity == 0
    with pytest.raises(Refused, match="says 0 already"):
        lying.correct(found=Decimal(0), reason="none left", by=owner)


def test_asking_costs_as_much_for_one_step_as_for_twenty(owner, django_assert_max_num_queries):
    from parts.shelf.carrying import Spot, Step

    shelf, place = Tray.free_shelf(), PlaceFactory()
    target = Spot(shelf.pk, place.pk, "ours")
    steps = [Step(part, Decimal(1), "counted", target=target) for part in PartFactory.create_batch(20)]
    with django_assert_max_num_queries(7 + 20):  # one audit entry each
        Stock.objects.carry(steps, owner)
