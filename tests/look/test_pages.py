"""The frame of every page: who sees which places, what a browser without JavaScript and a machine get."""

import pytest
from django.template.loader import render_to_string
from django.test import RequestFactory
from django.urls import reverse

pytestmark = pytest.mark.django_db
OWNERS_ALONE = {"suppliers:list": "Suppliers", "clients:list": "Clients", "workshop:settings": "Workshop"}
FOR_ALL = {
    "board:board": "Board",
    "board:today": "Today",
    "orders:list": "Orders",
    "orders:goods_in": "Goods in",
    "shelf:list": "Shelf",
    "catalogue:list": "Catalogue",
}


def page_of(person, template="base.html"):
    request = RequestFactory().get("/")
    request.user = person
    return render_to_string(template, {"user": person}, request=request)


def built(places):
    return [(reverse(name), word) for name, word in places.items()]


def test_owner_sees_every_place_that_is_built(owner):
    page = page_of(owner)
    for address, word in built(FOR_ALL | OWNERS_ALONE):
        assert f'<a href="{address}">{word}</a>' in page


def test_helper_sees_no_place_with_prices_or_clients(helper):
    page = page_of(helper)
    for _address, word in built(FOR_ALL):
        assert f">{word}</a>" in page
    for word in OWNERS_ALONE.values():
        assert f">{word}</a>" not in page


def test_strangers_see_only_the_way_in(client):
    page = client.get(reverse("login")).content.decode()
    assert "places" not in page
    assert 'name="password"' in page


def test_no_inline_script_or_style(client):
    page = client.get(reverse("login")).content.decode()
    assert "<style" not in page
    assert " style=" not in page
    assert "<script>" not in page
    assert " onclick" not in page


def test_wrong_password_says_so_and_keeps_the_name(client, owner):
    answer = client.post(reverse("login"), {"username": owner.username, "password": "no such word"})
    page = answer.content.decode()
    assert f'value="{owner.username}"' in page
    assert 'class="errors" role="alert"' in page


@pytest.mark.parametrize("template", ["404.html", "403.html", "403_csrf.html", "400.html", "500.html"])
def test_error_pages_render_without_a_request(template):
    page = render_to_string(template)
    assert "<h1>" in page
    assert 'class="places"' not in page


def test_unknown_address_is_a_page_of_ours(owner_client):
    answer = owner_client.get("/no/such/page/")
    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()
