"""Only the owner waives a test, and says why."""

import pytest
from django.urls import reverse

from builds.proving.models import Gate
from parts.workshop.refusal import Refused
from tests.factories import JobFactory

from .readings import gate_of, passed, post

pytestmark = pytest.mark.django_db
WHY = "the client soaks it at the studio, in writing"


def waive_page(job, kind="soak"):
    return reverse("proving:waive", args=[job.number, kind])


def test_the_owner_waives_with_a_reason(owner_client, owner):
    job = JobFactory()
    answer = post(owner_client, waive_page(job), reason=WHY)
    assert answer.status_code == 302
    gate = Gate.objects.get(job=job, kind="soak")
    assert (gate.verdict, gate.reason, gate.judged_by) == ("waived", WHY, owner)


def test_the_workshop_role_may_not(helper_client, helper):
    job = JobFactory()
    assert post(helper_client, waive_page(job), reason=WHY).status_code == 403
    with pytest.raises(Refused, match="Only the owner"):
        gate_of(job, "soak", helper).waive(WHY, helper)


@pytest.mark.parametrize("reason", ["", "   "])
def test_without_a_reason_nothing_is_waived(owner_client, reason):
    job = JobFactory()
    answer = post(owner_client, waive_page(job), reason=reason)
    assert answer.status_code == 200
    assert answer.context["form"].errors["reason"]
    assert not Gate.objects.filter(job=job, verdict="waived").exists()


def test_a_passed_test_has_nothing_to_waive(owner):
    job = JobFactory()
    passed(job, owner, ["air"])
    with pytest.raises(Refused, match="has passed"):
        gate_of(job, "air", owner).waive(WHY, owner)


def test_a_gate_that_does_not_exist(owner_client):
    assert owner_client.get(waive_page(JobFactory(), "smoke")).status_code == 404
