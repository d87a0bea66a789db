"""Signing in: guessing is slowed, over all processes; nobody is shut out for ever, least of all at their own bench."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from django.contrib.auth import authenticate
from django.db import connection
from django.test import Client
from django.utils import timezone

from parts.workshop import sign_in
from parts.workshop.models import Person
from parts.workshop.tries import FROM_KNOWN, FROM_NETWORK, FROM_STRANGERS, OF_NETWORK, PERIOD, SignInTry

RIGHT = "one loop at a time"


@pytest.fixture
def wright(owner):
    owner.set_password(RIGHT)
    owner.save()
    return owner


@pytest.fixture
def looked_at(monkeypatch):
    """Names whose password was really looked at."""
    seen = []
    monkeypatch.setattr(
        "django.contrib.auth.forms.authenticate",
        lambda request, **said: seen.append(said["username"]) or authenticate(request, **said),
    )
    return seen


def tries(browser, password, address="192.0.2.7", name="wright"):
    return browser.post("/login/", {"username": name, "password": password}, REMOTE_ADDR=address)


def later(minutes):
    """Let time pass: what was counted is so much older."""
    for row in SignInTry.objects.all():
        SignInTry.objects.filter(pk=row.pk).update(at=row.at - timedelta(minutes=minutes))


def said(answer):
    return answer.content.decode()


def test_the_right_password_opens(client, wright):
    assert tries(client, RIGHT).url == "/"
    assert client.get("/").status_code == 200
    assert not SignInTry.objects.exists()


def test_a_wrong_one_is_told_kindly_with_what_is_left(client, wright):
    first = tries(client, "wrong")
    assert first.status_code == 200
    assert "Name and password do not belong together" in said(first)
    assert "4 more tries, then a short wait." in said(first)
    for _more in range(3):
        last_but_one = tries(client, "wrong")
    assert "1 more try, then a short wait." in said(last_but_one)
    assert "That was the last try for now: wait 15 minutes before the next." in said(tries(client, "wrong"))


def test_after_five_even_the_right_one_waits_and_is_told_how_long(client, wright, looked_at):
    for _try in range(FROM_NETWORK):
        tries(client, "wrong")
    later(minutes=4)
    held = tries(client, RIGHT)
    assert held.status_code == 429
    assert int(held["Retry-After"]) in range(10 * 60, 11 * 60 + 1)
    assert "Too many wrong tries. Wait 11 minutes, then try again" in said(held)
    assert len(looked_at) == FROM_NETWORK, "the password was not even looked at"
    later(minutes=11)
    assert tries(client, RIGHT).status_code == 302


def test_knocking_meanwhile_makes_the_wait_no_longer(client, wright):
    for _try in range(FROM_NETWORK):
        tries(client, "wrong")
    for _knock in range(20):
        assert tries(client, "wrong").status_code == 429
    later(minutes=15)
    assert tries(client, RIGHT).status_code == 302


def test_a_right_one_forgives_the_wrong_ones_before_it(client, wright):
    for _try in range(FROM_NETWORK - 1):
        tries(client, "wrong")
    tries(client, RIGHT)
    assert "4 more tries" in said(tries(Client(), "wrong"))


def test_strangers_from_everywhere_cannot_shut_the_owner_out(client, wright):
    """The owner's own browser is known since it last signed in; who guesses from many networks holds up strangers."""
    tries(client, RIGHT)
    client.post("/logout/")
    for n in range(FROM_STRANGERS):
        tries(Client(), "guess", address=f"198.51.100.{n}")
    assert tries(Client(), RIGHT, address="203.0.113.5").status_code == 429, "a new browser waits with them"
    assert tries(client, RIGHT).status_code == 302


def test_not_even_from_the_owners_own_network(client, wright):
    tries(client, RIGHT)
    client.post("/logout/")
    for _try in range(FROM_NETWORK + 1):
        blocked = tries(Client(), "guess")
    assert blocked.status_code == 429
    assert tries(client, RIGHT).status_code == 302


def test_a_known_browser_has_a_limit_too(client, wright):
    tries(client, RIGHT)
    client.post("/logout/")
    answers = [tries(client, "wrong").status_code for _try in range(FROM_KNOWN + 1)]
    assert answers == [200] * FROM_KNOWN + [429]


@pytest.mark.parametrize("mark", ["forged", "", "of another"])
def test_a_mark_that_is_not_this_accounts_makes_no_browser_known(client, wright, helper, mark):
    helper.set_password(RIGHT)
    helper.save()
    cookie = sign_in._cookie("wright")
    if mark == "of another":
        tries(client, RIGHT, name="hand")
        mark = client.cookies[sign_in._cookie("hand")].value
    stranger = Client()
    stranger.cookies[cookie] = mark
    answers = [tries(stranger, "wrong").status_code for _try in range(FROM_NETWORK + 1)]
    assert answers[-1] == 429


def test_one_network_that_tries_many_names_is_held(client, wright):
    for n in range(OF_NETWORK):
        assert tries(client, "guess", name=f"name{n}").status_code == 200
    assert tries(client, "guess", name="another").status_code == 429
    assert tries(Client(), RIGHT, address="203.0.113.5").status_code == 302


def test_a_house_with_a_whole_range_of_addresses_is_one_network(client, wright):
    answers = [tries(client, "wrong", address=f"2001:db8:0:1::{n:x}").status_code for n in range(FROM_NETWORK + 1)]
    assert answers[-1] == 429


def test_a_name_that_nobody_has_is_told_no_other(client, wright):
    unknown, known = tries(client, "wrong", name="nobody"), tries(client, "wrong", address="192.0.2.8")
    assert unknown.status_code == known.status_code == 200
    assert "Name and password do not belong together" in said(unknown)
    assert "4 more tries" in said(unknown)


def test_what_was_typed_as_a_name_is_not_kept(client, wright):
    tries(client, "wright", name="my secret in the wrong field")
    (row,) = SignInTry.objects.values()
    assert "secret" not in str(row)


def test_an_empty_field_is_no_try(client, wright):
    for _try in range(FROM_NETWORK + 1):
        assert client.post("/login/", {"username": "wright", "password": ""}).status_code == 200
    assert not SignInTry.objects.exists()


def test_old_tries_are_forgotten(client, wright):
    tries(client, "wrong")
    SignInTry.objects.update(at=timezone.now() - PERIOD - timedelta(seconds=1))
    tries(client, "wrong")
    assert SignInTry.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_many_guesses_at_once_get_no_further(wright, looked_at):
    def guess(_n):
        try:
            return tries(Client(), "guess").status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(guess, range(16)))
    assert len(looked_at) <= FROM_NETWORK
    assert answers.count(429) == 16 - len(looked_at)


def test_a_session_ends_with_a_new_password_and_with_leave_to_sign_in(client, wright, owner_client):
    other = Client()
    for change in ({"password": "x"}, {"is_active": False}):
        Person.objects.filter(pk=wright.pk).update(is_active=True)
        other.force_login(Person.objects.get(pk=wright.pk))
        assert other.get("/").status_code == 200
        Person.objects.filter(pk=wright.pk).update(**change)
        assert other.get("/").status_code == 302


def test_signing_in_changes_the_session_and_its_cookie_is_for_the_server_alone(client, wright):
    client.get("/login/")
    before = client.session.session_key
    tries(client, RIGHT)
    assert client.session.session_key != before
    cookie = client.cookies["sessionid"]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")
    known = client.cookies[sign_in._cookie("wright")]
    assert (known["httponly"], known["samesite"], known["path"]) == (True, "Lax", "/login/")


def test_nothing_of_a_page_stays_when_somebody_signs_out(owner_client):
    assert owner_client.get("/clients/")["Cache-Control"] == "private, no-cache"
    assert owner_client.post("/logout/")["Clear-Site-Data"] == '"cache", "storage"'
    assert owner_client.get("/clients/").status_code == 302
