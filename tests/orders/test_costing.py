"""What each arrival cost stands beside its move, follows it from tray to tray, and adds up to the order's sum."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.orders.landed import amount, landed_lines, portions
from parts.orders.models import Order
from parts.shelf.models import Move, Stock, Tray
from parts.shelf.valuing import replayed
from parts.workshop.money import rounded
from tests.factories import PartFactory, PlaceFactory, once

cents = st.decimals(min_value=0, max_value=5000, places=2)
pieces = st.integers(min_value=1, max_value=30).map(Decimal)


# Fixed conversion rates of the euro, Council Regulation (EC) No 2866/98; conversion and rounding to the nearest cent,
# half up, Regulation (EC) No 1103/97 articles 4 and 5. Rates and articles from memory.
@pytest.mark.parametrize(
    ("theirs", "per_euro", "euro"),
    [
        ("100", "1.95583", "51.13"),
        ("100", "6.55957", "15.24"),
        ("1000", "40.3399", "24.79"),
        ("10000", "1936.27", "5.16"),
    ],
)
def test_amounts_convert_as_the_euro_regulations_say(theirs, per_euro, euro):
    rate = (1 / Decimal(per_euro)).quantize(Decimal("0.000001"))
    nothing = Decimal(0)
    (line,) = landed_lines([Decimal(theirs)], rate=rate, carriage=nothing, charges=nothing, ours="EUR")
    assert line.goods == Decimal(euro)


def test_half_a_cent_rounds_up_and_a_currency_without_cents_has_none():
    # Regulation (EC) No 1103/97 article 5: a result exactly half-way is rounded up. ISO 4217: JPY has no minor unit.
    assert amount(Decimal(1), Decimal("0.005"), "EUR") == Decimal("0.01")
    assert amount(Decimal(3), Decimal("33.5"), "JPY") == Decimal(101)


def test_carriage_by_weight_and_duty_by_value():
    # By hand: goods 100.00 and 100.00; carriage 20.00 over 1 kg and 4 kg; duty 10.00 over equal values.
    light, heavy = landed_lines(
        [Decimal(100), Decimal(100)], rate=Decimal(1), carriage=Decimal(20), charges=Decimal(10), ours="EUR",
        carriage_over=[Decimal(1), Decimal(4)],
    )  # fmt: skip
    assert (light.carriage, heavy.carriage) == (Decimal(4), Decimal(16))
    assert (light.charges, heavy.charges) == (Decimal(5), Decimal(5))


@given(amounts=st.lists(st.tuples(cents, st.decimals("0.0001", 60, places=4)), min_size=1, max_size=12),
       carriage=cents, charges=cents, ours=st.sampled_from(["EUR", "JPY", "KWD"]))  # fmt: skip
def test_shares_by_weight_lose_nothing(amounts, carriage, charges, ours):
    values, weights = zip(*amounts, strict=True)
    lines = landed_lines(list(values), rate=Decimal("0.087"), carriage=carriage, charges=charges, ours=ours,
                         carriage_over=weights, charges_over=weights)  # fmt: skip
    assert sum(line.carriage for line in lines) == rounded(carriage * Decimal("0.087"), ours)
    assert sum(line.charges for line in lines) == rounded(charges, ours)
    assert all(line.carriage >= 0 <= line.charges for line in lines)


@given(total=cents, came=st.lists(pieces, min_size=1, max_size=10), more=st.lists(pieces, max_size=3))
def test_part_deliveries_of_a_line_cost_the_whole_line(total, came, more):
    costs = portions(total, sum(came), [*came, *more], "EUR")
    assert sum(costs) == total
    assert all(cost >= 0 for cost in costs)
    assert not any(costs[len(came) :])


def test_what_comes_of_a_line_called_off_costs_nothing():
    assert portions(Decimal("0.00"), Decimal(0), [Decimal(2)], "EUR") == [Decimal(0)]


@given(st.data())
def test_no_cent_is_lost_on_the_way_from_tray_to_tray(data):
    rows, moves, held = ["shelf", "J-0001", "J-0002"], [], {}
    for _turn in range(data.draw(st.integers(1, 12))):
        source = data.draw(st.sampled_from([None, *[row for row in rows if held.get(row)]]))
        target = data.draw(st.sampled_from([row for row in (*rows, None if source else rows[0]) if row != source]))
        quantity = data.draw(st.integers(1, int(held[source]) if source else 20).map(Decimal))
        moves.append((source, target, quantity, None if source else data.draw(cents)))
        for row, change in ((source, -quantity), (target, quantity)):
            held[row] = held.get(row, Decimal(0)) + change
    stock, gone = replayed(moves, "EUR")
    came = sum((cost for source, _t, _q, cost in moves if source is None), Decimal(0))
    assert sum(one.cost for one in stock.values()) + sum(gone.values()) == came
    assert all(one.cost >= 0 and one.quantity == held[row] for row, one in stock.items())
    assert all(one.cost == 0 for one in stock.values() if not one.quantity)


def costs_of(*trays):
    return Stock.objects.costs_of([tray.pk for tray in trays], "EUR")


def test_a_delivery_in_parts_is_costed_to_the_cent(owner, place, ordered, jobs):
    line = ordered({jobs[0]: 1, jobs[1]: 2}, price="10.00")
    Order.objects.filter(pk=line.order_id).update(carriage=Decimal("5.00"))
    for _parcel in range(3):
        line.receive(Decimal(1), owner, place=place)
    assert sorted(Move.objects.values_list("cost", flat=True)) == [Decimal("11.66"), Decimal("11.67"), Decimal("11.67")]
    costs = costs_of(jobs[0].tray, jobs[1].tray)
    assert sum(cost.total for cost in costs.values()) == Decimal("35.00")


def test_a_charge_that_comes_late_reaches_what_was_carried_on(owner, owner_client, place, ordered, jobs):
    line = ordered({None: 2}, price="10.00")
    line.receive(Decimal(2), owner, place=place)
    Stock.objects.get().move(tray=jobs[0].tray, quantity=Decimal(1), reason="for the job", by=owner)
    assert costs_of(jobs[0].tray)[jobs[0].tray_id].total == Decimal(10)
    order = line.order
    typed = once(version=order.version, reference="", carriage="0", import_charges="6", carriage_by="value",
                 charges_by="value")  # fmt: skip
    owner_client.post(f"/orders/{order}/edit/", typed)
    assert costs_of(jobs[0].tray)[jobs[0].tray_id].total == Decimal(13)


def test_an_arrival_taken_back_costs_nothing(owner, place, ordered):
    line, shelf = ordered({None: 2}), Tray.free_shelf()
    line.receive(Decimal(1), owner, place=place)
    line.receive(Decimal(1), owner, place=place).undo(owner)
    assert costs_of(shelf)[shelf.pk].total == Decimal(10)
    line.receive(Decimal(1), owner, place=place)
    assert costs_of(shelf)[shelf.pk].total == Decimal(20)


def test_what_came_without_an_order_has_no_known_cost(owner, place):
    shelf = Tray.free_shelf()
    Stock.put_in(part=PartFactory(), tray=shelf, place=place, quantity=Decimal(3), reason="counted", by=owner)
    cost = costs_of(shelf)[shelf.pk]
    assert (cost.total, cost.unknown) == (0, 3)


def test_by_weight_waits_until_every_line_is_weighed(owner, owner_client, ordered):
    light = ordered(quantity=1, price="100", placed=False)
    heavy = ordered(quantity=1, price="100", order=light.order)
    Order.objects.filter(pk=light.order_id).update(carriage=Decimal(20), carriage_by="weight")
    order = Order.objects.get()
    assert order.landed()[light.pk].carriage == 10
    assert "2 more lines have their weight" in owner_client.get(f"/orders/{order}/").content.decode()
    for line, weight in ((light, "1"), (heavy, "4")):
        line.refresh_from_db()
        sent = once(promised=line.promised.isoformat(), weight_kg=weight)
        assert owner_client.post(f"/orders/{order}/lines/{line.pk}/", sent).status_code == 302
    assert [cost.carriage for cost in Order.objects.get().landed().values()] == [4, 16]


def test_a_weight_of_nothing_is_refused_at_its_field(owner_client, ordered):
    line = ordered()
    sent = once(promised=line.promised.isoformat(), weight_kg="0")
    answer = owner_client.post(f"/orders/{line.order}/lines/{line.pk}/", sent)
    assert answer.context["form"].errors["weight_kg"]


def test_costs_ask_two_queries(place, owner, ordered, jobs, django_assert_num_queries):
    for _n in range(4):
        ordered({jobs[0]: 1}).receive(Decimal(1), owner, place=PlaceFactory())
    with django_assert_num_queries(2):
        costs_of(jobs[0].tray, jobs[1].tray)
