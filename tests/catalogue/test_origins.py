"""A fact as measured, as declared and as remembered: each set for itself, with what became of it."""

import pytest
from django.urls import reverse

from parts.catalogue.models import Fact, Part
from tests.factories import PartFactory, once


@pytest.fixture
def radiator(db):
    return PartFactory(kind="radiator", name="Radiator 3×120", facts={"thickness": 30.0, "core_depth": 18.0})


def address(part, name="thickness"):
    return reverse("catalogue:fact", args=[part.pk, name])


def put(client, part, name="thickness", **typed):
    part.refresh_from_db()
    return client.post(address(part, name), once(version=part.version, **typed))


def stored(part, name="thickness"):
    return {fact.origin: fact.value for fact in Fact.objects.filter(part=part, name=name)}


def test_each_origin_is_set_for_itself(helper_client, radiator):
    assert put(helper_client, radiator, declared="30 mm", measured="1 3/16 in").status_code == 302
    assert stored(radiator) == {"declared": 30.0, "measured": pytest.approx(30.1625)}
    assert Part.objects.get().fact("thickness") == pytest.approx(30.1625)
    put(helper_client, radiator, declared="30 mm", typical="29 mm")
    assert stored(radiator) == {"declared": 30.0, "typical": 29.0}


def test_what_became_of_it_stands_below_and_on_the_parts_page(owner_client, radiator):
    put(owner_client, radiator, declared="30 mm", measured="31 mm")
    put(owner_client, radiator, declared="30 mm", measured="30.5 mm")
    put(owner_client, radiator, declared="30 mm")
    page = owner_client.get(address(radiator)).content.decode()
    assert [page.count(words) for words in (">31 mm<", ">30.5 mm<", ">forgotten<")] == [2, 2, 1]
    assert "wright" in page
    page = owner_client.get(reverse("catalogue:part", args=[radiator.pk])).content.decode()
    assert "what became of its facts" in page
    assert "30.5 mm" in page
    assert "30.5 mm" not in owner_client.get(address(radiator, "core_depth")).content.decode()


def test_parts_of_like_name_keep_their_histories_apart(owner_client, radiator):
    other = PartFactory(kind="fan", name="Radiator 3×120", facts={"thickness": 25.0})
    put(owner_client, other, declared="26 mm")
    assert radiator.history() == []
    [change] = other.history("thickness")
    assert (change.before, change.after, change.origin) == ("25 mm", "26 mm", "as declared")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"measured": "31 W"}, "is a power, not a length"),
        ({"measured": "3 m"}, "too high"),
        ({"declared": "", "measured": "15 mm"}, "is not possible with"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_stored(owner_client, radiator, typed, said):
    page = put(owner_client, radiator, **{"declared": "30 mm", **typed}).content.decode()
    assert said in page
    assert stored(radiator) == {"declared": 30.0}


def test_the_slower_of_two_is_told(owner_client, radiator):
    version = Part.objects.get(pk=radiator.pk).version
    put(owner_client, radiator, declared="31 mm")
    page = owner_client.post(address(radiator), once(version=version, declared="32 mm")).content.decode()
    assert "Somebody changed this" in page
    assert "Now stored: 31 mm" in page


def test_a_fact_that_the_kind_does_not_have_is_not_there(owner_client, radiator):
    assert owner_client.get(address(radiator, "rated-power")).status_code == 404
    assert owner_client.get(address(PartFactory(), "thickness")).status_code == 404
