import subprocess
from decimal import Decimal

import pytest

from builds.gathering.ordering import make_orders, place
from builds.sheets.models import Document
from parts.orders.models import Order, OrderLine
from parts.shelf.models import Stock, Tray
from tests.counting import queries
from tests.factories import PlaceFactory, SupplierFactory, SupplierPriceFactory, once


def text(answer):
    return answer.content.decode()


def test_the_sheet_shows_what_is_needed_here_on_order_and_missing(owner_client, owner, agreed, sold):
    fan, pump = sold("Fan 120", "18.40"), sold("Pump", "95")
    job = agreed({"fans": (fan, 2), "pump": (pump, 1)})
    make_orders(job, owner)
    answer = owner_client.get(f"/jobs/{job}/parts/")
    rows = answer.context["gathered"].rows
    assert [(row.fill.coming_quantity, row.fill.missing) for row in rows] == [(2, 0), (1, 0)]
    assert "drafted, not placed" in text(answer)
    assert "Nothing is left to buy" in text(answer)


def test_the_buy_list_is_reckoned_anew_for_another_supplier_and_ordered_as_shown(owner_client, agreed, sold):
    quay = SupplierFactory(name="Quay Cooling", lead_days=2)
    fan = sold("Fan 120", "18.40")
    SupplierPriceFactory(part=fan, supplier=quay, price=Decimal("30"))
    job = agreed({"fans": (fan, 2)})
    owner_client.get(f"/jobs/{job}/parts/")
    chosen = once(**{"wish": "price", "join": "on", f"from-{fan.pk}": str(quay.pk), "from-x": "1"})
    answer = owner_client.post(f"/jobs/{job}/parts/buy/", chosen | {"again": "1"}, headers={"HX-Request": "true"})
    assert "<html" not in text(answer)
    assert [basket.supplier for basket in answer.context["buying"].baskets] == [quay]
    assert not Order.objects.exists()
    for _tap in range(2):
        owner_client.post(f"/jobs/{job}/parts/buy/", chosen)
    assert Order.objects.get().supplier == quay
    assert OrderLine.objects.get().unit_price == 30


def test_what_was_not_chosen_by_hand_is_reckoned_anew(owner_client, agreed, sold):
    """The page posts every line's choice; only those made by hand are kept when the wish changes."""
    quick = SupplierFactory(lead_days=1)
    fan, pump = sold("Fan 120", "18.40"), sold("Pump", "95")
    for part in (fan, pump):
        SupplierPriceFactory(part=part, supplier=quick, price=Decimal(500))
    job = agreed({"fans": (fan, 2), "pump": (pump, 1)})
    page = owner_client.get(f"/jobs/{job}/parts/")
    assert f'name="from-{fan.pk}"' in text(page)
    typed = {
        "wish": "date",
        "again": "1",
        f"from-{fan.pk}": "",
        f"from-{pump.pk}": str(pump.prices.first().supplier_id),
    }
    buying = owner_client.post(f"/jobs/{job}/parts/buy/", once(**typed)).context["buying"]
    taken = {line.part: (basket.supplier, line.by_hand) for basket in buying.baskets for line in basket.lines}
    assert taken == {fan: (quick, False), pump: (pump.prices.first().supplier, True)}


def test_by_date_the_quicker_supplier_is_taken(owner_client, agreed, sold):
    fan = sold("Fan 120", "18.40")
    quick = SupplierPriceFactory(part=fan, supplier=SupplierFactory(lead_days=1), price=Decimal(30)).supplier
    job = agreed({"fans": (fan, 2)})
    owner_client.post(f"/jobs/{job}/parts/buy/", once(wish="date", join="on"))
    assert Order.objects.get().supplier == quick


def test_a_refusal_is_shown_on_the_sheet(owner_client, agreed, sold):
    job = agreed({"fans": (sold("Fan 120", "18.40"), 2)}, agreed=False)
    answer = owner_client.post(f"/jobs/{job}/parts/buy/", once(wish="price"))
    assert answer.status_code == 200
    assert "not agreed yet" in text(answer)
    assert not Order.objects.exists()


def test_a_part_without_a_usable_price_is_named_with_what_to_do(owner_client, agreed, sold):
    odd = sold("Odd grille")
    far = sold("Far pump", "100", supplier=SupplierFactory(currency="NOK", name="Fjord Parts"))
    shown = text(owner_client.get(f"/jobs/{agreed({'grille': (odd, 1), 'pump': (far, 1)})}/parts/"))
    assert "Add a price" in shown
    assert "Fjord Parts asks in NOK" in shown


def test_a_helper_takes_from_the_shelf_and_sees_no_price(helper_client, owner, agreed, sold):
    fan, pump = sold("Fan 120", "987.65"), sold("Pump", "95")
    job = agreed({"fans": (fan, 2), "pump": (pump, 1)})
    Stock.put_in(
        part=fan, tray=Tray.free_shelf(), place=PlaceFactory(), quantity=Decimal(5), reason="counted", by=owner
    )
    shown = text(helper_client.get(f"/jobs/{job}/parts/"))
    assert "Take 2" in shown
    assert "987" not in shown
    assert "95.00" not in shown
    assert "To buy" not in shown
    helper_client.post(f"/jobs/{job}/parts/take/{fan.pk}/", once())
    assert Stock.objects.get(tray=job.tray).quantity == 2
    assert helper_client.post(f"/jobs/{job}/parts/buy/", once()).status_code == 403
    (order,) = make_orders(job, owner)
    assert helper_client.post(f"/orders/{order}/place/", once()).status_code == 403
    assert helper_client.get(f"/orders/{order}/pdf/").status_code == 403


def test_the_clients_own_part_comes_in_unvalued_with_its_condition(helper_client, agreed, sold):
    board = sold("Board", "600")
    job = agreed({"graphics": (board, 1)}, brought=["graphics"])
    line = job.spec_versions.get().lines.get()
    address = f"/jobs/{job}/parts/brought/{line.pk}/"
    assert address in text(helper_client.get(f"/jobs/{job}/parts/"))
    answer = helper_client.post(address, once(quantity="1", condition="", place="bench"))
    assert "condition" in answer.context["form"].errors
    helper_client.post(address, once(quantity="1", condition="used, two screws missing", place="bench", serials="X9"))
    stock = Stock.objects.get()
    assert (stock.owner, stock.tray) == ("client", job.tray)
    assert stock.moves_in.get().reason == "from the client: used, two screws missing"
    assert "all here" in text(helper_client.get(f"/jobs/{job}/parts/"))


def test_an_order_is_placed_once_from_its_page(owner_client, owner, agreed, sold):
    job = agreed({"fans": (sold("Fan 120", "18.40"), 2)})
    (order,) = make_orders(job, owner)
    assert f"/orders/{order}/place/" in text(owner_client.get(f"/orders/{order}/"))
    sent = once()
    for _tap in range(2):
        assert owner_client.post(f"/orders/{order}/place/", sent).status_code == 302
    job.refresh_from_db()
    assert (order.state, job.stage) == ("placed", "gathering")
    assert f"/orders/{order}/place/" not in text(owner_client.get(f"/orders/{order}/"))


def test_an_empty_order_is_refused_with_a_message(owner_client, owner, fen):
    order = Order.draft(fen, owner)
    answer = owner_client.post(f"/orders/{order}/place/", once(), follow=True)
    assert "has no lines" in " ".join(str(message) for message in answer.context["messages"])


def read(pdf, folder):
    (folder / "order.pdf").write_bytes(pdf)
    return subprocess.run(
        ["pdftotext", "-layout", folder / "order.pdf", "-"], check=True, capture_output=True, text=True
    ).stdout


def test_the_suppliers_paper_is_frozen_when_placed(owner_client, owner, agreed, sold, fen, tmp_path):
    fan = sold("Fan 120", "18.40", code="FF-120")
    (order,) = make_orders(agreed({"fans": (fan, 2)}, title="Secret machine"), owner)
    drafted = read(owner_client.get(f"/orders/{order}/pdf/").content, tmp_path)
    assert "draft" in drafted
    assert not Document.objects.exists()
    place(order, owner)
    first = owner_client.get(f"/orders/{order}/pdf/")
    said = read(first.content, tmp_path)
    for word in (f"Order {order}", "Fen Fluidics", "FF-120", "Fan 120", "36.80", "43.80"):
        assert word in said, word
    assert "Secret machine" not in said
    Order.objects.update(carriage=Decimal(99))
    assert owner_client.get(f"/orders/{order}/pdf/").content == first.content
    assert Document.objects.get().number == str(order)


def test_the_sheet_asks_no_more_for_more_parts(owner_client, agreed, sold):
    few = agreed({"fans": (sold("Fan", "18"), 2)})
    many = agreed({f"role {n}": (sold(f"Part {n}", "10"), 2) for n in range(20)})
    owner_client.get(f"/jobs/{few}/parts/")
    counts = [queries(lambda address=f"/jobs/{job}/parts/": owner_client.get(address)) for job in (few, many)]
    assert counts[0] == counts[1]


@pytest.mark.django_db
def test_what_is_not_there_is_missing(owner_client, agreed, sold):
    job = agreed({"fans": (sold("Fan 120", "18.40"), 2)})
    line = job.spec_versions.get().lines.get()
    for address in ("/jobs/J-9999/parts/", f"/jobs/{job}/parts/brought/{line.pk}/", "/orders/O-9999/pdf/"):
        assert owner_client.get(address).status_code == 404
    assert owner_client.post(f"/jobs/{job}/parts/take/999999/").status_code == 404


def test_the_buy_list_says_how_goods_travel_and_the_suppliers_thresholds(owner_client, agreed, sold, fen):
    fen.free_carriage_from, fen.minimum_order = Decimal(200), Decimal(150)
    fen.save()
    case = sold("Case", "60", carriage_class="bulky")
    fan, tube = sold("Fan 120", "18.40", carriage_class="parcel"), sold("Tube", "3")
    shown = owner_client.get(f"/jobs/{agreed({'case': (case, 1), 'fans': (fan, 2), 'tube': (tube, 1)})}/parts/")
    (basket,) = shown.context["buying"].baskets
    assert [line.part for line in basket.lines] == [tube, fan, case], "what shares a class stands together"
    assert [(key, n) for key, _name, n in basket.consignments] == [("", 1), ("parcel", 1), ("bulky", 1)]
    for said in (
        "carriage free from 200.00, 100.20 to go",
        "least order 150.00, 50.20 short",
        "ask what carriage costs",
    ):
        assert said in text(shown)


def test_an_order_says_how_its_goods_travel(owner_client, helper_client, owner, agreed, sold, fen):
    fen.free_carriage_from, fen.minimum_order = Decimal(200), Decimal(50)
    fen.save()
    fan, cell = sold("Fan 120", "18.40", carriage_class="parcel", code="F-1"), sold("Cell", "95")
    SupplierPriceFactory(part=cell, supplier=SupplierFactory(), price=Decimal(500), carriage_class="dangerous")
    (order,) = make_orders(agreed({"fans": (fan, 2), "cell": (cell, 1)}), owner)
    shown = text(owner_client.get(f"/orders/{order}/"))
    for said in ("F-1, parcel", "free from 200.00", "They take orders from 50.00 on."):
        assert said in shown
    assert "None" not in shown
    assert "dangerous" not in shown, "how another supplier sends it is no matter here"
    assert "ask what carriage costs" not in shown
    assert "200.00" not in text(helper_client.get(f"/orders/{order}/"))


def test_what_is_not_here_stands_before_what_is(owner_client, owner, agreed, sold):
    fan, pump = sold("Fan 120", "18.40"), sold("Pump", "95")
    job = agreed({"fans": (fan, 2), "pump": (pump, 1)})
    Stock.put_in(part=fan, tray=job.tray, place=PlaceFactory(), quantity=2, reason="counted", by=owner)
    shown = text(owner_client.get(f"/jobs/{job}/parts/"))
    assert "1 of 2 here in full" in shown
    assert shown.index('<th scope="row">Pump') < shown.index("1 is here in full") < shown.index("all here")
