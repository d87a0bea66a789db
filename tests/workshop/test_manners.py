"""The manners of every form: one effect a mark, refusals shown, numbers without gaps under many hands."""

from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace

import pytest
from django.db import connection, transaction
from django.test import RequestFactory

from parts.workshop.answers import acting
from parts.workshop.middleware import WorkshopMiddleware
from parts.workshop.models import Counter, Once
from parts.workshop.refusal import AlreadyDone, Refused
from tests.factories import JobFactory, once


def in_threads(count, work):
    def one(n):
        try:
            return work(n)
        finally:
            connection.close()

    with ThreadPoolExecutor(count) as pool:
        return list(pool.map(one, range(count)))


@pytest.mark.django_db(transaction=True)
def test_a_mark_is_spent_once_however_many_send_it():
    token = Once.fresh()

    def send(_n):
        try:
            with transaction.atomic():
                Once.spend(token, None)
        except AlreadyDone:
            return "told"
        return "done"

    assert sorted(in_threads(6, send)) == ["done"] + ["told"] * 5


@pytest.mark.django_db(transaction=True)
def test_numbers_have_no_gap_and_no_double_under_many_hands():
    def take(_n):
        with transaction.atomic():
            return Counter.next("job")

    assert sorted(in_threads(8, take)) == list(range(1, 9))


@pytest.mark.django_db
@pytest.mark.parametrize("token", ["", "x" * 65])
def test_a_missing_or_absurd_mark_is_refused(token):
    with pytest.raises(Refused, match="one-time mark"):
        Once.spend(token, None)


def test_what_fails_gives_its_mark_back(owner):
    request = RequestFactory().post("/", once())
    request.user = owner

    def fail():
        with acting(request):
            raise Refused("no")

    for _try in range(2):
        with pytest.raises(Refused, match="no"):
            fail()
    assert not Once.objects.exists()


def test_a_refusal_from_a_button_comes_back_as_a_message(db):

    job = JobFactory(stage="lost")
    request = RequestFactory().post("/", headers={"referer": "http://elsewhere.example/"})
    said = []
    request._messages = SimpleNamespace(add=lambda level, message, tags="": said.append(message))
    answer = WorkshopMiddleware(lambda r: None).process_exception(request, Refused(f"{job} is lost"))
    assert said == [f"{job} is lost"]
    assert answer.url == "/", "a referer elsewhere is not followed"
