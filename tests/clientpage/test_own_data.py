"""A client asks for his data, or to be forgotten: he gets all of it, and what the law keeps is named and reduced."""

import io
import json
import zipfile
from datetime import date
from decimal import Decimal as D

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from builds.clientpage.models import Link, Opening
from builds.clientpage.own_data import erase
from builds.clients.models import Client
from builds.jobs.models import Stage
from builds.quotes.bills import Bill
from builds.quotes.models import Quote, StagePayment
from builds.sheets.models import Document
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import ClientFactory, JobFactory, once
from tests.quotes.conftest import in_days


@pytest.fixture
def someone(agreed, job, owner, owner_client):
    """T. Oyelaran, with an address, wishes, a bill that is paid, a link that was opened; the job is cancelled."""
    client = job.client
    owner_client.post(f"/clients/{client.pk}/edit/", once(
        version=client.version, name="Temi Oyelaran", email="temi@harbour.example", phone="555 0123",
        address="Quay 9\nHavenstad", note="calls late",
    ))  # fmt: skip
    job.purpose, job.budget, job.client_supplies = "for Temi's cabin", D(900), "a chair"
    job.save()
    first = StagePayment.objects.agreed([job]).order_by("position").first()
    bill = Bill.raise_for(first, owner, in_days(14))
    bill.record_payment(owner, bill.amount, in_days(0), "from Temi's account")
    link, _token = Link.make(job, owner, whom="Temi")
    Opening.objects.create(link=link, address="192.0.2.9", browser="a phone")
    job.refresh_from_db()
    job.end(Stage.CANCELLED, owner)
    client.refresh_from_db()
    return client


@pytest.fixture
def offered_before(job, spec, plan, owner):
    """An offer to the same client that was declined: nothing that tax law asks for."""
    other = JobFactory(client=job.client, title="Temi's second machine")
    issue = Quote.draft(other, _spec_of(other), owner)
    issue.set_terms(owner, valid_until=in_days(14), promise=in_days(60), margin_percent=issue.margin_percent)
    issue.send(owner)
    issue.decline(owner, "too dear for Temi")
    other.refresh_from_db()
    other.end(Stage.LOST, owner)
    return issue


def _spec_of(job):
    from tests.factories import SpecVersionFactory
    from tests.quotes.conftest import put

    made = SpecVersionFactory(job=job, number=1)
    put(made, "small pump", "80.00")
    return made


def everything():
    """Every row of every table but the papers' own data and the counters of the machine, as one text."""
    from django.apps import apps

    return repr([list(model.objects.values_list()) for model in apps.get_models(include_auto_created=True)
                 if model is not Document])  # fmt: skip


def data_in(answer):
    with zipfile.ZipFile(io.BytesIO(answer.content)) as packed:
        return json.loads(packed.read("data.json")), packed.namelist(), packed


def test_he_gets_all_that_is_kept_of_him(someone, owner_client, job):
    answer = owner_client.get(f"/clients/{someone.pk}/data/all.zip")
    data, names, _packed = data_in(answer)
    assert data["client"]["email"] == "temi@harbour.example"
    assert data["jobs"][0]["purpose"] == "for Temi's cabin"
    assert [quote["total"] for quote in data["quotes"]] == ["888.000"]
    assert [payment["note"] for payment in data["payments"]] == ["from Temi's account"]
    assert data["openings of links"][0]["address"] == "192.0.2.9"
    assert sorted(names) == ["data.json", "documents/bill-B-0001-1.pdf", "documents/quote-Q-0001-1.pdf"]
    assert answer["Cache-Control"] == "private, no-store"
    assert "cost" not in json.dumps(data), "what the workshop paid is no data of his"


def test_of_another_client_he_gets_nothing(someone, owner_client):
    other = ClientFactory(name="Brae Institute")
    data, names, _packed = data_in(owner_client.get(f"/clients/{other.pk}/data/all.zip"))
    assert (data["jobs"], data["bills"], names) == ([], [], ["data.json"])


def test_erased_is_all_but_the_papers_that_the_law_keeps(
    offered_before, someone, owner_client, django_capture_on_commit_callbacks
):
    assert "Temi" in everything()
    with django_capture_on_commit_callbacks(execute=True):
        answer = owner_client.post(
            f"/clients/{someone.pk}/data/", once(version=someone.version, years=7, sure="on"), follow=True
        )
    said = answer.content.decode()
    assert "2 documents are kept, as tax law asks, until" in said
    assert f"until {date_format(date(timezone.localdate().year + 7, 12, 31))}:" in said
    left = everything()
    for word in ("Temi", "Oyelaran", "temi@harbour", "555 0123", "Havenstad", "calls late", "a chair", "192.0.2.9"):
        assert word not in left, word
    someone.refresh_from_db()
    assert someone.papers_until == date(timezone.localdate().year + 7, 12, 31)
    assert sorted(Document.objects.filter(erased_at=None).values_list("kind", flat=True)) == ["bill", "quote"]
    gone = Document.objects.get(pk=offered_before.document_id)
    assert (gone.data, default_storage.exists(gone.path)) == ({}, False)
    call_command("verify", verbosity=0)


def test_amounts_and_who_did_what_stay_in_the_trail(someone, owner):
    before = AuditEntry.objects.count()
    paid = AuditEntry.objects.get(verb="paid")
    erase(someone, owner, 7)
    after = AuditEntry.objects.get(pk=paid.pk)
    assert (after.person, after.at, after.after["amount"]) == (paid.person, paid.at, paid.after["amount"])
    assert after.after["note"] == "erased"
    assert AuditEntry.objects.count() == before + 1
    assert AuditEntry.objects.get(verb="erased").after["documents kept"] == 2


def test_another_client_keeps_every_word(someone, owner):
    other = ClientFactory(name="Brae Institute", address="Hill 1")
    kept = JobFactory(client=other, title="Weather model", purpose="forecasts")
    erase(someone, owner, 7)
    for row in (other, kept):
        row.refresh_from_db()
    assert (other.address, kept.title, kept.purpose) == ("Hill 1", "Weather model", "forecasts")


def test_nobody_opens_an_enquiry_for_an_erased_client(someone, owner, owner_client):
    offered = f'<option value="{someone.pk}"'
    assert offered in owner_client.get(reverse("jobs:enquiry")).content.decode()
    erase(someone, owner, 7)
    assert offered not in owner_client.get(reverse("jobs:enquiry")).content.decode()
    assert "New enquiry" not in owner_client.get(f"/clients/{someone.pk}/").content.decode()


def test_a_hand_over_pack_is_no_paper_for_the_tax(someone, job, owner, django_capture_on_commit_callbacks):
    pack = Document.freeze(kind="pack", number=str(job), title="pack for Temi", pdf=b"%PDF Temi", data={"who": "Temi"})
    with django_capture_on_commit_callbacks(execute=True):
        erase(someone, owner, 7)
    pack.refresh_from_db()
    assert (pack.title, pack.data, default_storage.exists(pack.path)) == ("erased", {}, False)


def test_when_the_years_are_over_the_rest_goes_too(someone, owner, django_capture_on_commit_callbacks):
    erase(someone, owner, 1)
    Client.objects.filter(pk=someone.pk).update(papers_until=in_days(-1))
    with django_capture_on_commit_callbacks(execute=True):
        erase(someone, owner, 1)
    assert not Document.objects.filter(erased_at=None).exists()
    assert not [document for document in Document.objects.all() if default_storage.exists(document.path)]
    assert Bill.objects.get().amount == D(192), "the numbers stay"
    call_command("verify", verbosity=0)


def test_a_paper_that_was_erased_says_so(offered_before, someone, owner, owner_client):
    erase(someone, owner, 7)
    quote, job = offered_before.quote, offered_before.quote.job
    answer = owner_client.get(f"/jobs/{job}/quote/{quote}/1/pdf/", follow=True)
    assert "was erased on" in answer.content.decode()


def test_nothing_is_erased_while_a_job_is_under_way_or_money_is_open(agreed, job, owner, owner_client):
    url = f"/clients/{job.client.pk}/data/"
    refused = owner_client.post(url, once(version=job.client.version, years=7, sure="on"))
    assert f"{job} is under way" in refused.content.decode()
    Bill.raise_for(StagePayment.objects.agreed([job]).order_by("position").first(), owner, in_days(14))
    job.refresh_from_db()
    job.end(Stage.CANCELLED, owner)
    with pytest.raises(Refused, match="B-0001 is not settled"):
        erase(job.client, owner, 7)
    job.client.refresh_from_db()
    assert (job.client.name, job.client.erased_at) == ("T. Oyelaran", None)


@pytest.mark.parametrize("typed", [{"years": 7}, {"years": 0, "sure": "on"}, {"years": "ten", "sure": "on"}, {}])
def test_it_must_be_meant_and_the_years_make_sense(someone, owner_client, typed):
    owner_client.post(f"/clients/{someone.pk}/data/", once(version=someone.version, **typed))
    someone.refresh_from_db()
    assert someone.name == "Temi Oyelaran"


def test_it_is_the_owners_business_alone(someone, helper_client):
    for url in (f"/clients/{someone.pk}/data/", f"/clients/{someone.pk}/data/all.zip"):
        assert helper_client.get(url).status_code == 403
    assert helper_client.post(f"/clients/{someone.pk}/data/", once(years=7, sure="on")).status_code == 403


def test_an_unknown_client_is_missing(owner_client):
    assert owner_client.get("/clients/999/data/").status_code == 404
    assert owner_client.get("/clients/999/data/all.zip").status_code == 404


def test_the_page_says_before_what_goes_and_what_stays(someone, owner_client):
    page = owner_client.get(f"/clients/{someone.pk}/data/").content.decode()
    assert "bills: 1, accepted quotes: 1, with the name and address on them" in page
    assert "backups made before today" in page
    assert f"/clients/{someone.pk}/data/" in owner_client.get(f"/clients/{someone.pk}/").content.decode()
