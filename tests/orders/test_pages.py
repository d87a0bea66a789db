import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from parts.orders.models import Arrival, Order, OrderLine, ReturnCase
from parts.shelf.models import Stock, Unit
from parts.templatetags.bench import price_each
from tests.counting import queries
from tests.factories import PartFactory, SupplierFactory, SupplierPriceFactory, once

HTMX = {"HX-Request": "true"}
MEASURES = {"carriage_by": "value", "charges_by": "value"}


def text(answer):
    return answer.content.decode()


def test_an_order_is_drafted_filled_corrected_and_dropped_by_the_owner(owner_client):
    price = SupplierPriceFactory(
        price=Decimal("18.40"), pack_size=Decimal(4), part=PartFactory(name="Straight fitting")
    )
    answer = owner_client.post("/orders/new/", once(supplier=price.supplier.pk))
    order = Order.objects.get()
    assert answer.url == f"/orders/{order}/parts/"
    assert "Straight fitting" in text(owner_client.get(answer.url, headers=HTMX))
    form = owner_client.get(f"/orders/{order}/parts/{price.part_id}/").context["form"]
    assert (form.initial["quantity"], form.initial["unit_price"]) == (4, "4.60")
    owner_client.post(f"/orders/{order}/parts/{price.part_id}/", once(quantity="8", unit_price="4,60"))
    line = order.lines.get()
    assert line.amount == Decimal("36.80")
    owner_client.post(f"/orders/{order}/lines/{line.pk}/", once(quantity="12", unit_price="4.60"))
    assert order.lines.get().quantity == 12
    owner_client.post(f"/orders/{order}/lines/{line.pk}/remove/", once())
    assert not order.lines.exists()
    owner_client.post(f"/orders/{order}/cancel/", once(reason="not needed"))
    assert Order.objects.get().state == "cancelled"


def test_charges_come_later_but_the_rate_stays(owner_client, ordered):
    order = ordered().order
    form = owner_client.get(f"/orders/{order}/edit/").context["form"]
    assert list(form.fields)[:4] == ["reference", "carriage", "carriage_by", "import_charges"]
    sent = once(version=order.version, reference="A-99", carriage="6,90", import_charges="1.00", **MEASURES)
    owner_client.post(f"/orders/{order}/edit/", sent)
    order.refresh_from_db()
    assert (order.reference, order.carriage, order.import_charges) == ("A-99", Decimal("6.90"), 1)


def test_a_form_opened_before_the_order_was_placed_is_shown_what_changed(owner_client, owner, ordered):
    order = ordered(placed=False).order
    opened = once(
        version=order.version, reference="A-99", currency="EUR", rate="1", carriage="5", import_charges="0", **MEASURES
    )
    order.place(owner)
    answer = owner_client.post(f"/orders/{order}/edit/", opened)
    assert "Somebody changed this" in text(answer)
    order.refresh_from_db()
    assert order.placed_at
    assert order.reference == ""


@pytest.mark.parametrize(("rate", "said"), [("0", "or more"), ("-1", "or more"), ("x", "1234.50")])
def test_a_rate_that_is_none_is_refused_at_its_field(owner_client, owner, rate, said):
    order = Order.draft(SupplierFactory(currency="NOK"), owner)
    sent = once(version=1, reference="keep me", currency="NOK", rate=rate, carriage="0", import_charges="0", **MEASURES)
    answer = owner_client.post(f"/orders/{order}/edit/", sent)
    assert said in " ".join(answer.context["form"].errors["rate"])
    assert "keep me" in text(answer)


def test_a_date_in_the_past_is_refused_at_its_field(owner_client, ordered):
    line = ordered()
    day = timezone.localdate() - datetime.timedelta(days=1)
    answer = owner_client.post(f"/orders/{line.order}/lines/{line.pk}/", once(promised=day.isoformat()))
    assert "is past" in " ".join(answer.context["form"].errors["promised"])
    day = timezone.localdate() + datetime.timedelta(days=9)
    owner_client.post(f"/orders/{line.order}/lines/{line.pk}/", once(promised=day.isoformat()))
    assert OrderLine.objects.get().promised == day


def test_what_one_weighs_can_be_typed_though_its_date_is_past(owner_client, ordered):
    """Weights are asked when the carrier's bill comes, mostly after the promised day."""
    line = ordered()
    past = timezone.localdate() - datetime.timedelta(days=5)
    OrderLine.objects.update(promised=past)
    sent = once(promised=past.isoformat(), weight_kg="0.75")
    assert owner_client.post(f"/orders/{line.order}/lines/{line.pk}/", sent).status_code == 302
    now = OrderLine.objects.get()
    assert (now.promised, float(now.weight_kg), now.confirmed_at) == (past, 0.75, None)


def test_the_list_filters_by_state(owner_client, ordered, owner):
    ordered()
    draft = Order.draft(SupplierFactory(), owner)
    assert str(draft) in text(owner_client.get("/orders/"))
    assert str(draft) not in text(owner_client.get("/orders/", {"state": "placed"}))


@pytest.mark.parametrize("address", ["/orders/", "/orders/?state=all", "/orders/goods-in/", "/orders/returns/"])
def test_a_list_asks_no_more_for_more_orders(owner_client, owner, ordered, address):
    def more(count):
        for _n in range(count):
            line = ordered(order=ordered(placed=False).order)
            line.receive(Decimal(1), owner, condition="damaged")

    more(2)
    owner_client.get(address)
    few = queries(lambda: owner_client.get(address))
    more(9)
    assert queries(lambda: owner_client.get(address)) == few


@pytest.mark.parametrize("address", ["", "receive/"])
def test_an_orders_page_asks_no_more_for_more_lines(owner_client, ordered, place, owner, address):
    def of(count):
        order = ordered(placed=False).order
        lines = [ordered(order=order, placed=False) for _n in range(count)]
        order.place(owner)
        lines[0].receive(Decimal(1), owner, place=place)
        return queries(lambda: owner_client.get(f"/orders/{order}/{address}"))

    of(2)
    assert of(2) == of(12)


def test_prices_keep_the_decimals_they_need(owner_client, ordered):
    line = ordered(price="3.333333", quantity=3)
    ordered(price="12345.6", placed=False)
    shown = text(owner_client.get(f"/orders/{line.order}/"))
    assert "3.333333" in shown
    assert "10.00" in shown
    assert price_each(Decimal("12345.600000")) == "12,345.60"


def test_a_helper_sees_what_is_due_but_no_price(helper_client, ordered, place, owner):
    line = ordered(price="987.65", quantity=2)
    line.receive(Decimal(1), owner, place=place)
    for address in (f"/orders/{line.order}/", "/orders/", "/orders/goods-in/", f"/orders/{line.order}/receive/"):
        shown = text(helper_client.get(address))
        assert line.part.name in shown
        assert "987" not in shown
        assert "1,975" not in shown
    for address in ("edit/", "parts/", f"lines/{line.pk}/", "cancel/"):
        assert helper_client.get(f"/orders/{line.order}/{address}").status_code == 403


def test_typing_an_order_number_opens_it_at_once(helper_client, ordered):
    order = ordered().order
    assert helper_client.get("/orders/goods-in/", {"q": str(order).lower()}).url == f"/orders/{order}/receive/"
    assert str(order) in text(helper_client.get("/orders/goods-in/", {"q": str(order)}, headers=HTMX))
    assert helper_client.get("/orders/goods-in/", {"q": "O-999999999999"}).status_code == 200


def take_in(client, line, htmx=False, **typed):
    sent = {"quantity": "1", "condition": "good", "place": "bench", "serials": "", "note": ""} | typed
    headers = HTMX if htmx else {}
    return client.post(f"/orders/{line.order}/receive/{line.pk}/", once(**sent), headers=headers)


def test_a_line_is_taken_in_by_one_tap(helper_client, ordered):
    line = ordered(quantity=3)
    prepared = helper_client.get(f"/orders/{line.order}/receive/", {"place": "bench"}).context["lines"][0].form
    sent = {name: prepared[name].value() for name in ("once", "quantity", "condition", "place")}
    assert (sent["quantity"], sent["condition"], sent["place"]) == ("3", "good", "bench")
    for _tap in range(2):
        answer = helper_client.post(f"/orders/{line.order}/receive/{line.pk}/", sent)
        assert answer.status_code == 302
    assert Stock.objects.get().quantity == 3
    assert "Everything on this order is here" in text(helper_client.get(answer.url))


def test_for_htmx_only_the_line_comes_back(helper_client, ordered):
    line = ordered(quantity=3)
    shown = text(take_in(helper_client, line, htmx=True, quantity="2"))
    assert "<html" not in shown
    assert "1 of 3 outstanding" in shown
    assert "Taken in: 2, good" in shown
    assert 'value="bench"' in shown


def test_after_the_tap_the_line_says_whose_it_is_and_can_be_taken_back(helper_client, ordered, jobs):
    line = ordered({jobs[0]: 1, None: 1})
    shown = text(take_in(helper_client, line, htmx=True, quantity="2"))
    assert f"{jobs[0].tray.name} 1" in shown
    assert "free shelf 1" in shown
    helper_client.post(f"/orders/arrivals/{Arrival.objects.get().pk}/undo/", once())
    assert not Stock.objects.lying().exists()
    bad = text(take_in(helper_client, line, htmx=True, quantity="1", condition="damaged"))
    assert "2 of 2 outstanding" in bad
    assert 'href="/orders/returns/"' in bad


@pytest.mark.parametrize("htmx", [True, False])
def test_more_than_ordered_asks_at_the_field_and_can_be_confirmed(helper_client, ordered, htmx):
    line = ordered(quantity=3)
    shown = text(take_in(helper_client, line, htmx, quantity="5", note="keep me"))
    assert "5 came, but only 3 of the 3 ordered are outstanding" in shown
    assert "The surplus stays here" in shown
    assert "keep me" in shown
    assert not Arrival.objects.exists()
    take_in(helper_client, line, htmx, quantity="5", confirm="on")
    assert Arrival.objects.get().quantity == 5


@pytest.mark.parametrize(
    ("typed", "field"),
    [({"quantity": "0"}, "quantity"), ({"quantity": "-2"}, "quantity"), ({"quantity": ""}, "quantity"),
     ({"quantity": "1.5"}, "quantity"), ({"place": ""}, "place"), ({"serials": "A\nA"}, "serials"),
     ({"serials": "A, B"}, "serials"), ({"condition": "odd"}, "condition")],
)  # fmt: skip
def test_a_slip_is_told_at_its_field_and_nothing_is_stored(helper_client, ordered, typed, field):
    line = ordered(quantity=3)
    answer = take_in(helper_client, line, htmx=True, **typed)
    assert list(answer.context["line"].form.errors) == [field]
    assert not Arrival.objects.exists()
    assert not Stock.objects.exists()


def test_a_damaged_one_goes_to_the_returns_and_is_credited(helper_client, ordered):
    line = ordered(quantity=1)
    take_in(helper_client, line, condition="damaged", note="fins bent", place="")
    case = ReturnCase.objects.get()
    assert "fins bent" in text(helper_client.get("/orders/returns/"))
    helper_client.post(f"/orders/returns/{case.pk}/", once(state="sent", note=""))
    helper_client.post(f"/orders/returns/{case.pk}/", once(state="credited", note="note 12"))
    assert line.order.state == "complete"
    assert "note 12" in text(helper_client.get("/orders/returns/", {"closed": "1"}))
    answer = helper_client.post(f"/orders/returns/{case.pk}/", once(state="sent"), follow=True)
    assert ReturnCase.objects.get().state == "credited"
    assert "This return is closed" in " ".join(str(m) for m in answer.context["messages"])


def test_all_of_it_came(helper_client, ordered, owner):
    line = ordered(placed=False)
    ordered(order=line.order)
    helper_client.post(f"/orders/{line.order}/receive/", once(place="bench"))
    assert line.order.state == "complete"
    assert Stock.objects.count() == 2


def test_a_cancelled_order_that_arrives_says_what_to_do(helper_client, owner, ordered):
    line = ordered()
    line.order.cancel(owner)
    assert "takes the order up again" in text(helper_client.get(f"/orders/{line.order}/receive/"))
    shown = text(take_in(helper_client, line, htmx=True))
    assert "was cancelled on" in shown
    assert not Arrival.objects.exists()


def test_an_arrival_is_taken_back_by_its_button(helper_client, ordered):
    line = ordered(quantity=2)
    take_in(helper_client, line, serials="A1")
    helper_client.post(f"/orders/arrivals/{Arrival.objects.get().pk}/undo/", once())
    assert not Stock.objects.lying().exists()
    assert not Unit.objects.exists()
    assert "taken back" in text(helper_client.get(f"/orders/{line.order}/"))


def test_what_is_not_there_is_missing(owner_client, ordered):
    line, other = ordered(), ordered()
    assert owner_client.get("/orders/O-9999/").status_code == 404
    assert owner_client.get(f"/orders/{other.order}/lines/{line.pk}/").status_code == 404
    assert take_in(owner_client, line).status_code == 302
    assert owner_client.post(f"/orders/{other.order}/receive/{line.pk}/").status_code == 404


def test_a_new_line_starts_with_what_one_weighed_last_time(owner_client, owner, ordered):
    line = ordered(quantity=1)
    line.weigh(Decimal("0.28"), owner)
    draft = Order.draft(line.order.supplier, owner)
    shown = owner_client.get(f"/orders/{draft}/parts/{line.part_id}/")
    assert shown.context["form"]["weight_kg"].value() == "0.28"


def test_goods_in_names_each_part_by_the_suppliers_code_as_their_note_does(helper_client, ordered):
    line = ordered(quantity=2)
    SupplierPriceFactory(part=line.part, supplier=line.order.supplier, code="QC-114")
    assert "QC-114" in text(helper_client.get(f"/orders/{line.order}/receive/"))
    taken = helper_client.post(
        f"/orders/{line.order}/receive/{line.pk}/", once(quantity="1", condition="good", place="bench"), headers=HTMX
    )
    assert "QC-114" in text(taken)
