import pytest

from builds.clients.models import Client
from builds.jobs.models import Job
from parts.workshop.models import AuditEntry
from tests.factories import ClientFactory, JobFactory, once


def test_an_enquiry_opens_a_numbered_job_with_a_tray_and_its_client(owner_client):
    answer = owner_client.post("/enquiry/", once(title="Quiet workstation", client_name="Harbour Films"))
    job = Job.objects.get()
    assert answer.url == f"/jobs/{job}/brief/"
    assert (str(job), str(job.tray), job.client.name, job.stage) == ("J-0001", "J-0001", "Harbour Films", "enquiry")
    assert AuditEntry.objects.filter(about="job J-0001").exists()


def test_a_known_client_is_chosen(owner_client):
    client = ClientFactory()
    owner_client.post("/enquiry/", once(title="Second machine", client=client.pk))
    assert Job.objects.get().client == client
    assert Client.objects.count() == 1


def test_without_a_client_nothing_is_opened_and_nothing_lost(owner_client):
    answer = owner_client.post("/enquiry/", once(title="Quiet workstation", purpose="cutting film"))
    assert "client_name" in answer.context["form"].errors
    assert "cutting film" in answer.content.decode()
    assert not Job.objects.exists()


def test_numbers_have_no_gaps_after_a_refusal(owner_client):
    owner_client.post("/enquiry/", once(title="", client_name="A"))
    owner_client.post("/enquiry/", once(title="One", client_name="A"))
    owner_client.post("/enquiry/", once(title="Two", client_name="B"))
    assert sorted(Job.objects.values_list("number", flat=True)) == [1, 2]


def test_a_form_without_its_mark_changes_nothing(owner_client):
    answer = owner_client.post("/enquiry/", {"title": "One", "client_name": "A"})
    assert "one-time mark" in answer.content.decode()
    assert not Job.objects.exists()


@pytest.mark.parametrize("word", ["J-0107", "107", "cutting", "harbour"])
def test_jobs_are_found_by_number_title_or_client(owner_client, word):
    JobFactory(number=107, title="Cutting-room machine", client__name="Harbour Films")
    JobFactory(number=208, title="Render node", client__name="Brae Institute")
    shown = owner_client.get("/jobs/", {"q": word}).content.decode()
    assert "J-0107" in shown
    assert "J-0208" not in shown


def test_a_helper_takes_no_enquiry(helper_client):
    assert helper_client.post("/enquiry/", once(title="One", client_name="A")).status_code == 403
