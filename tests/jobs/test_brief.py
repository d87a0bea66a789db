import datetime

import pytest

from builds.jobs.models import Stage
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, once


def sent(job, **changes):
    return once(version=job.version, title=job.title, client=job.client_id, **changes)


def test_a_brief_reads_what_a_person_types(owner_client):
    job = JobFactory()
    owner_client.post(
        f"/jobs/{job}/brief/",
        sent(job, budget="€ 4.200,50", noise_wish_db="28 dB(A)", room_warmest_c="81 °F", deadline="2027-02-01"),
    )
    job.refresh_from_db()
    assert str(job.budget) == "4200.50"
    assert job.noise_wish_db == 28
    assert job.room_warmest_c == pytest.approx(27.22, abs=0.01)
    assert job.deadline == datetime.date(2027, 2, 1)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("room_warmest_c", "27 W", "temperature"),
        ("room_warmest_c", "300 °C", "too high"),
        ("noise_wish_db", "-5", "too low"),
        ("budget", "1,234", "may mean"),
        ("budget", "-1", "Type 0 or more"),
        ("deadline", "2027-02-30", "valid date"),
    ],
)
def test_each_wrong_value_is_named_at_its_field_and_kept(owner_client, field, typed, said):
    job = JobFactory()
    answer = owner_client.post(f"/jobs/{job}/brief/", sent(job, **{field: typed}))
    assert said in " ".join(answer.context["form"].errors[field])
    assert typed in answer.content.decode()


def test_the_slower_of_two_people_is_shown_the_difference(owner_client):
    job = JobFactory(theme="slate")
    first, second = sent(job, theme="pale ash"), sent(job, theme="brass")
    owner_client.post(f"/jobs/{job}/brief/", first)
    answer = owner_client.post(f"/jobs/{job}/brief/", second)
    shown = answer.content.decode()
    assert "Now stored: pale ash" in shown
    assert "brass" in shown
    job.refresh_from_db()
    assert job.theme == "pale ash"
    again = {**second, "version": answer.context["form"]["version"].value()}
    owner_client.post(f"/jobs/{job}/brief/", again)
    job.refresh_from_db()
    assert job.theme == "brass"


def test_a_change_leaves_who_before_and_after(owner_client, owner):
    job = JobFactory(theme="slate")
    owner_client.post(f"/jobs/{job}/brief/", sent(job, theme="brass"))
    entry = AuditEntry.objects.get(verb="changed")
    assert entry.person == owner
    assert (entry.before["theme"], entry.after["theme"]) == ("slate", "brass")


def test_a_helper_sees_no_brief(helper_client):
    assert helper_client.get(f"/jobs/{JobFactory()}/brief/").status_code == 403


def test_an_unknown_job_is_missing(owner_client):
    assert owner_client.get("/jobs/J-9999/brief/").status_code == 404


def test_stages_only_move_forward(owner):
    job = JobFactory()
    job.reach(Stage.AGREED, by=owner)
    job.reach(Stage.QUOTED, by=owner)
    assert job.stage == Stage.AGREED
    job.end(Stage.CANCELLED, by=owner, reason="client moved abroad")
    with pytest.raises(Refused):
        job.reach(Stage.BENCH, by=owner)


def test_pausing_keeps_its_reason_until_taken_up(owner_client):
    job = JobFactory()
    owner_client.post(f"/jobs/{job}/pause/", once(version=1, reason="client on a voyage"))
    job.refresh_from_db()
    assert job.paused_because == "client on a voyage"
    owner_client.post(f"/jobs/{job}/pause/", once(version=job.version, reason=""))
    job.refresh_from_db()
    assert job.paused_because == ""


def test_an_enquiry_is_lost_only_with_a_reason(owner_client):
    job = JobFactory()
    answer = owner_client.post(f"/jobs/{job}/end/", once(version=1, reason=""))
    assert "reason" in answer.context["form"].errors
    owner_client.post(f"/jobs/{job}/end/", once(version=1, reason="too dear"))
    job.refresh_from_db()
    assert job.stage == Stage.LOST
