from builds.clients.models import Client
from parts.workshop.models import AuditEntry
from tests.factories import ClientFactory, JobFactory, once


def test_a_client_is_added_once_even_when_the_button_is_hit_twice(owner_client):
    form = once(name="Harbour Films", email="desk@harbour.example")
    for _hit in range(2):
        assert owner_client.post("/clients/new/", form).status_code == 302
    assert Client.objects.count() == 1
    assert AuditEntry.objects.filter(verb="made", about="client Harbour Films").count() == 1


def test_the_list_is_searched_by_any_word(owner_client):
    ClientFactory(name="Harbour Films", contact="Ada")
    ClientFactory(name="Brae Institute")
    shown = owner_client.get("/clients/", {"q": "harbour ada"}).content.decode()
    assert "Harbour Films" in shown
    assert "Brae Institute" not in shown


def test_the_list_asks_no_more_for_more_clients(owner_client, django_assert_max_num_queries):
    for client in ClientFactory.create_batch(30):
        JobFactory(client=client)
    with django_assert_max_num_queries(9):
        owner_client.get("/clients/")


def test_an_address_without_a_name_is_refused_at_the_field(owner_client):
    answer = owner_client.post("/clients/new/", once(name="", email="not an address"))
    assert set(answer.context["form"].errors) == {"name", "email"}
    assert not Client.objects.exists()


def test_a_helper_sees_no_client(helper_client):
    client = ClientFactory()
    for url in ("/clients/", f"/clients/{client.pk}/", f"/clients/{client.pk}/edit/"):
        assert helper_client.get(url).status_code == 403


def test_an_unknown_client_is_missing(owner_client):
    assert owner_client.get("/clients/999/").status_code == 404
