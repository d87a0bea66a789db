"""A serial number that was misread is corrected by whoever sees it, and what stood there is kept."""

import pytest
from django.urls import reverse

from parts.shelf.models import Stock, Tray, Unit
from parts.workshop.models import AuditEntry
from tests.factories import PartFactory, PlaceFactory, once

pytestmark = pytest.mark.django_db


@pytest.fixture
def units(owner):
    Stock.put_in(
        part=PartFactory(name="Graphics board"), tray=Tray.free_shelf(), place=PlaceFactory(), quantity=2,
        reason="counted", by=owner, serials=["B0O1", "B002"],
    )  # fmt: skip
    return list(Unit.objects.order_by("serial"))[::-1]


def send(client, unit, typed, **more):
    return client.post(reverse("shelf:serial", args=[unit.pk]), once(serial=typed, **more))


def test_a_helper_corrects_it_and_goes_on_where_he_was(helper_client, helper, units):
    answer = send(helper_client, units[0], " B001 ", next="/today/")
    assert answer["Location"] == "/today/"
    units[0].refresh_from_db()
    assert units[0].serial == "B001"
    entry = AuditEntry.objects.get(verb="corrected")
    assert (entry.person, entry.before, entry.after) == (helper, {"serial": "B0O1"}, {"serial": "B001"})


def test_another_items_number_is_refused(helper_client, units):
    answer = send(helper_client, units[0], "B002")
    assert "Another Graphics board has this serial number" in answer.content.decode()
    assert Unit.objects.filter(serial="B0O1").exists()


@pytest.mark.parametrize("to", ["https://elsewhere.example/", "//elsewhere.example/", "nowhere", "-1", "a\x00b"])
def test_nobody_is_led_to_another_site_or_astray(helper_client, units, to):
    assert send(helper_client, units[0], "B001", next=to)["Location"] == "/"


def test_stock_leads_there(helper_client, units):
    page = helper_client.get(reverse("shelf:row", args=[Stock.objects.get().pk])).content.decode()
    assert reverse("shelf:serial", args=[units[0].pk]) in page
