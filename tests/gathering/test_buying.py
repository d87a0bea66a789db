"""What is missing and where to buy it, by plain numbers. Allocation and carriage rules: common practice."""

from decimal import Decimal
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from builds.gathering.buying import Choice, Need, Offer, Terms, choose, fill

D = Decimal


def met(needs, **stock):
    known = {"here": {}, "brought": {}, "coming": {}, "shelf": {}} | stock
    return [(f.here, f.coming_quantity, f.shelf, f.missing) for f in fill(needs, **known)]


def test_the_tray_counts_first_then_orders_then_the_shelf():
    needs = [Need("front fans", "fan", D(3)), Need("top fans", "fan", D(3))]
    stock = {"here": {"fan": D(1)}, "coming": {"fan": [(D(3), "O-0001")]}, "shelf": {"fan": D(1)}}
    assert met(needs, **stock) == [(1, 2, 0, 0), (0, 1, 1, 1)]


def test_each_need_knows_what_brings_it():
    needs = [Need("a", "fan", D(3)), Need("b", "fan", D(3))]
    first, second = fill(needs, here={}, brought={}, shelf={}, coming={"fan": [(D(2), "soon"), (D(3), "later")]})
    assert first.coming == ((D(2), "soon"), (D(1), "later"))
    assert second.coming == ((D(2), "later"),)
    assert second.missing == 1


def test_what_the_client_supplies_is_met_by_his_own_alone():
    needs = [Need("graphics", "board", D(1), brought=True), Need("second", "board", D(1))]
    stock = {"here": {"board": D(1)}, "brought": {"board": D(1)}, "shelf": {"board": D(5)}}
    assert met(needs, **stock) == [(1, 0, 0, 0), (1, 0, 0, 0)]
    assert met(needs, shelf={"board": D(5)}) == [(0, 0, 0, 1), (0, 0, 1, 0)]


amounts = st.integers(min_value=0, max_value=20).map(D)


@given(
    wishes=st.lists(st.tuples(st.sampled_from("ab"), amounts), max_size=6),
    here=st.dictionaries(st.sampled_from("ab"), amounts), shelf=st.dictionaries(st.sampled_from("ab"), amounts),
    coming=st.dictionaries(st.sampled_from("ab"), st.lists(st.tuples(amounts, st.just("O")), max_size=3)),
)  # fmt: skip
def test_nothing_is_used_twice_and_nothing_is_forgotten(wishes, here, shelf, coming):
    needs = [Need(n, part, quantity) for n, (part, quantity) in enumerate(wishes)]
    fills = fill(needs, here=here, brought={}, coming=coming, shelf=shelf)
    for done in fills:
        assert done.here + done.coming_quantity + done.shelf + done.missing == done.need.quantity
    for part in "ab":
        mine = [done for done in fills if done.need.part == part]
        assert sum(done.here for done in mine) <= here.get(part, 0)
        assert sum(done.shelf for done in mine) <= shelf.get(part, 0)
        assert sum(done.coming_quantity for done in mine) <= sum(quantity for quantity, _by in coming.get(part, []))


def suppliers(choice):
    return {part: offer.supplier for part, offer in choice.offers.items()}


def test_carriage_decides_between_a_cheap_part_and_one_order_less():
    wanted = {"pump": D(1), "fan": D(6)}
    offers = {"pump": [Offer("fen", D(100))], "fan": [Offer("fen", D(18)), Offer("quay", D(17))]}
    dear = {"fen": Terms(D(7)), "quay": Terms(D(9))}
    assert suppliers(choose(wanted, offers, dear)) == {"pump": "fen", "fan": "fen"}  # 6 saved, 9 of carriage
    assert suppliers(choose(wanted, offers, dear | {"quay": Terms(D(5))})) == {"pump": "fen", "fan": "quay"}


def test_a_dearer_line_is_taken_where_it_lifts_the_order_over_the_free_threshold():
    wanted = {"block": D(1), "tube": D(2)}
    offers = {"block": [Offer("fen", D(90))], "tube": [Offer("fen", D("5.50")), Offer("quay", D(5))]}
    terms = {"fen": Terms(D(8), free_from=D(100)), "quay": Terms(D(0))}
    assert suppliers(choose(wanted, offers, terms)) == {"block": "fen", "tube": "fen"}  # 101 against 108


def test_a_draft_that_stands_already_has_paid_its_carriage():
    offers = {"fan": [Offer("fen", D(20)), Offer("quay", D(19))]}
    terms = {"fen": Terms(D(7), drafted=D(50)), "quay": Terms(D(7))}
    assert suppliers(choose({"fan": D(1)}, offers, terms)) == {"fan": "fen"}


def test_packs_are_bought_whole():
    offer = Offer("fen", D("18.40"), pack_size=D(4))
    assert (offer.packs(D(18)), offer.bought(D(18)), offer.cost(D(18))) == (5, 20, D("92.00"))
    wanted = {"fitting": D(2)}
    choice = choose(wanted, {"fitting": [offer, Offer("quay", D(6))]}, {"fen": Terms(), "quay": Terms()})
    assert suppliers(choice) == {"fitting": "quay"}


def test_the_shortest_lead_time_when_the_date_counts_and_a_choice_by_hand_always():
    offers = {"pump": [Offer("fen", D(80), days=30), Offer("quay", D(95), days=3)]}
    terms = {"fen": Terms(), "quay": Terms()}
    assert suppliers(choose({"pump": D(1)}, offers, terms)) == {"pump": "fen"}
    assert suppliers(choose({"pump": D(1)}, offers, terms, by="date")) == {"pump": "quay"}
    assert suppliers(choose({"pump": D(1)}, offers, terms, fixed={"pump": "quay"})) == {"pump": "quay"}
    assert suppliers(choose({"pump": D(1)}, offers, terms, fixed={"pump": "gone"})) == {"pump": "fen"}


def test_a_part_nobody_prices_is_named():
    choice = choose({"pump": D(1), "odd": D(1)}, {"pump": [Offer("fen", None)]}, {"fen": Terms()})
    assert choice.unpriced == ["pump", "odd"]
    assert choice.offers == {}


prices = st.integers(min_value=1, max_value=60).map(D)
lists = st.lists(st.dictionaries(st.sampled_from("abc"), prices, min_size=1), min_size=1, max_size=4)


def cases(rows, carriages, free=None):
    wanted = {n: D(1) for n in range(len(rows))}
    offers = {n: [Offer(s, price) for s, price in row.items()] for n, row in enumerate(rows)}
    terms = {s: Terms(carriage, free_from=free) for s, carriage in zip("abc", carriages, strict=True)}
    every = [Choice(dict(enumerate(chosen))).total(wanted, terms) for chosen in product(*offers.values())]
    return choose(wanted, offers, terms).total(wanted, terms), every


@given(rows=lists, carriages=st.tuples(prices, prices, prices))
def test_without_thresholds_it_is_the_cheapest_of_all_ways_to_buy(rows, carriages):
    ours, every = cases(rows, carriages)
    assert ours == min(every)


@given(rows=lists, carriages=st.tuples(prices, prices, prices), free=prices)
def test_with_thresholds_it_is_never_dearer_than_line_by_line_or_from_one_supplier(rows, carriages, free):
    ours, every = cases(rows, carriages, free)
    wanted = {n: D(1) for n in range(len(rows))}
    terms = {s: Terms(carriage, free_from=free) for s, carriage in zip("abc", carriages, strict=True)}
    simple = {n: Offer(*min(row.items(), key=lambda each: (each[1], each[0]))) for n, row in enumerate(rows)}
    assert min(every) <= ours <= Choice(simple).total(wanted, terms)
    for supplier in "abc":
        if all(supplier in row for row in rows):
            alone = Choice({n: Offer(supplier, row[supplier]) for n, row in enumerate(rows)})
            assert ours <= alone.total(wanted, terms)
