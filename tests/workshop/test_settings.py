"""The workshop's own pages: settings, people, tax. The owner's alone."""

from datetime import date
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from parts.workshop.models import AuditEntry, Person, TaxRule, Workshop
from tests.factories import once

SETTINGS = reverse("workshop:settings")


def sent(client, address, **changed):
    """What the form at an address would send as it stands, but for `changed`."""
    form = client.get(address).context["form"]
    return {**{bound.name: bound.value() for bound in form if bound.value() not in (None, False)}, **changed}


def test_settings_are_kept_and_written_down(owner_client):
    changes = {"name": "Saltmarsh Bench", "weekly_hours": "32,5", "room_warmest_c": "82,4 °F"}
    data = sent(owner_client, SETTINGS, **changes)
    assert owner_client.post(SETTINGS, data).status_code == 302
    workshop = Workshop.current()
    assert (workshop.name, workshop.weekly_hours) == ("Saltmarsh Bench", Decimal("32.5"))
    assert workshop.room_warmest_c == pytest.approx(28)
    entry = AuditEntry.objects.get(verb="changed")
    assert set(entry.after) == {"name", "weekly_hours", "room_warmest_c"}


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("currency", "euro", "Three capital letters|at most 3 characters"),
        ("time_zone", "Moon/Base", "Select a valid choice"),
        ("room_warmest_c", "26 W", "is a power, not a temperature"),
        ("room_warmest_c", "80 °C", "at most 50"),
        ("weekly_hours", "0", "Type 0.5 or more"),
        ("margin_percent", "96", "Type 95 or less"),
        ("quote_days", "-1", "Type 0 or more"),
        ("name", "", "Fill this in"),
    ],
)
def test_a_setting_that_cannot_be_is_told_at_its_field(owner_client, field, typed, said):
    page = owner_client.post(SETTINGS, sent(owner_client, SETTINGS, **{field: typed}))
    errors = " ".join(page.context["form"].errors[field])
    assert any(words in errors for words in said.split("|")), errors


def test_two_people_at_the_settings_lose_no_word(owner_client):
    mine, theirs = (sent(owner_client, SETTINGS, name=name) for name in ("Mine", "Theirs"))
    owner_client.post(SETTINGS, theirs)
    page = owner_client.post(SETTINGS, mine).content.decode()
    assert "Now stored: Theirs" in page
    assert 'value="Mine"' in page


NEW = {"username": "tern", "first_name": "Tern", "role": "workshop", "password_new": "marsh-otter-9"}


def test_somebody_is_added_and_can_sign_in(owner_client):
    assert owner_client.post(reverse("workshop:add_person"), once(**NEW)).status_code == 302
    person = Person.objects.get(username="tern")
    assert (person.role, person.is_superuser, person.is_staff) == ("workshop", False, False)
    client = Client()
    assert client.login(username="tern", password="marsh-otter-9")
    assert "marsh-otter" not in str(list(AuditEntry.objects.values()))


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"username": "wright"}, "username"),
        ({"username": "two words"}, "username"),
        ({"role": "king"}, "role"),
        ({"password_new": "short"}, "password_new"),
        ({"password_new": ""}, "password_new"),
        ({"password_new": "1234567890"}, "password_new"),
        ({"email": "tern"}, "email"),
    ],
)
def test_somebody_who_cannot_be_added_so(owner_client, changed, field):
    page = owner_client.post(reverse("workshop:add_person"), once(**{**NEW, **changed}))
    assert field in page.context["form"].errors
    assert not Person.objects.filter(first_name="Tern").exists()


@pytest.mark.parametrize("change", [{"role": "workshop"}, {"is_active": ""}])
def test_the_last_owner_stays_owner(owner_client, owner, change):
    address = reverse("workshop:edit_person", args=[owner.pk])
    page = owner_client.post(address, sent(owner_client, address, **change))
    assert "make somebody else owner first" in page.content.decode()
    owner.refresh_from_db()
    assert (owner.role, owner.is_active) == ("owner", True)


def test_somebody_who_left_can_no_longer_sign_in(owner_client, helper, helper_client):
    address = reverse("workshop:edit_person", args=[helper.pk])
    data = sent(owner_client, address)
    data.pop("is_active")
    owner_client.post(address, data)
    assert helper_client.get(reverse("catalogue:list")).status_code == 302


def test_a_new_password_of_ones_own_keeps_one_signed_in(owner_client, owner):
    address = reverse("workshop:edit_person", args=[owner.pk])
    owner_client.post(address, sent(owner_client, address, password_new="marsh-otter-9"))
    owner.refresh_from_db()
    assert owner.check_password("marsh-otter-9")
    assert owner_client.get(SETTINGS).status_code == 200


def test_an_empty_password_field_keeps_the_present_one(owner_client, helper):
    before = helper.password
    address = reverse("workshop:edit_person", args=[helper.pk])
    owner_client.post(address, sent(owner_client, address, first_name="Wren"))
    helper.refresh_from_db()
    assert (helper.password, helper.first_name) == (before, "Wren")


RATE = {"name": "Value added tax", "category": "S", "percent": "21", "starts": "2026-01-01"}


def test_a_rate_of_tax_holds_from_day_to_day(owner_client):
    owner_client.post(reverse("workshop:add_tax"), once(**RATE, ends="2026-06-30"))
    owner_client.post(reverse("workshop:add_tax"), once(**{**RATE, "percent": "22,5", "starts": "2026-07-01"}))
    assert TaxRule.on(date(2026, 6, 30)).percent == 21
    assert TaxRule.on(date(2026, 7, 1)).percent == Decimal("22.5")
    assert TaxRule.on(date(2025, 12, 31)) is None
    assert "22.5" in owner_client.get(reverse("workshop:tax")).content.decode()


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"percent": "-1"}, "percent"),
        ({"percent": "101"}, "percent"),
        ({"category": "E"}, "percent"),
        ({"starts": "2026-02-30"}, "starts"),
        ({"ends": "2025-12-31"}, "ends"),
    ],
)
def test_a_rate_that_cannot_be(owner_client, changed, field):
    page = owner_client.post(reverse("workshop:add_tax"), once(**{**RATE, **changed}))
    assert field in page.context["form"].errors
    assert not TaxRule.objects.exists()


@pytest.mark.parametrize("name", ["edit_person", "edit_tax"])
def test_what_is_not_there(owner_client, name):
    assert owner_client.get(reverse(f"workshop:{name}", args=[9999])).status_code == 404


@pytest.mark.parametrize("name", ["settings", "people", "add_person", "tax", "add_tax"])
def test_the_workshops_own_pages_are_the_owners(helper_client, name):
    assert helper_client.get(reverse(f"workshop:{name}")).status_code == 403


def test_more_people_ask_no_more_queries(owner_client, django_assert_max_num_queries):
    from tests.factories import PersonFactory

    address = reverse("workshop:people")
    with django_assert_max_num_queries(12) as few:
        owner_client.get(address)
    PersonFactory.create_batch(12)
    with django_assert_max_num_queries(len(few)):
        owner_client.get(address)


def test_the_first_person_made_on_the_command_line_is_the_owner(db):
    assert Person.objects.create_superuser("first", password="a long enough word").is_owner
