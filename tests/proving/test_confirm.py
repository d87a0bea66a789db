"""A person stands by the verdict; a failed test cannot be called a pass."""

import pytest
from django.utils import timezone

from builds.jobs.models import Stage
from builds.proving.models import Gate
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, TaskFactory

from .readings import passed, recorded

pytestmark = pytest.mark.django_db


def test_a_passed_trial_is_confirmed_with_name_and_time(helper):
    gate = recorded(JobFactory(), "air", helper)
    gate.confirm("passed", helper)
    gate.refresh_from_db()
    assert (gate.verdict, gate.judged_by) == ("passed", helper)
    assert AuditEntry.objects.filter(verb="passed", about=gate.about, person=helper).exists()


@pytest.mark.parametrize("changed", [{"pressure_2": 0.4}, {"minutes": 15.0}, {"pressure_2": 0.52}])
def test_what_failed_or_was_not_judged_cannot_be_called_a_pass(helper, changed):
    gate = recorded(JobFactory(), "air", helper, **changed)
    with pytest.raises(Refused, match="do not let it pass"):
        gate.confirm("passed", helper)
    gate.refresh_from_db()
    assert gate.verdict == "open"


def test_a_person_may_fail_what_the_readings_pass_but_says_why(helper):
    gate = recorded(JobFactory(), "air", helper)
    with pytest.raises(Refused, match="say what you saw"):
        gate.confirm("failed", helper)
    gate.confirm("failed", helper, "it hissed at the drain")
    assert gate.verdict == "failed"


def test_a_finding_wants_a_word_before_it_is_confirmed(helper):
    job = JobFactory()
    passed(job, helper, ["air", "wet", "fill"])
    gate = recorded(job, "soak", helper, coolant=35.2, coolant_1=35.0)
    with pytest.raises(Refused, match="say what you looked at"):
        gate.confirm("passed", helper)
    gate.confirm("passed", helper, "filter was still on, taken off")
    assert gate.verdict == "passed"


def test_a_failed_gate_reopens_its_own_done_tasks_alone(helper):
    job = JobFactory(stage=Stage.BENCH)
    done = {"job": job, "done_at": timezone.now(), "done_by": helper}
    air, plumb = TaskFactory(proves="air", **done), TaskFactory(**done)
    elsewhere = TaskFactory(proves="air", done_at=timezone.now(), done_by=helper)
    recorded(job, "air", helper, pressure_2=0.4).confirm("failed", helper)
    for task in (air, plumb, elsewhere):
        task.refresh_from_db()
    assert not air.is_done
    assert plumb.is_done
    assert elsewhere.is_done
    assert AuditEntry.objects.filter(verb="reopened").count() == 1


def test_a_passed_gate_finishes_the_tasks_it_proves(helper):
    job = JobFactory(stage="proving")
    own, other = TaskFactory(job=job, proves="air"), TaskFactory(job=job, proves="wet")
    recorded(job, "air", helper).confirm("passed", helper)
    own.refresh_from_db()
    other.refresh_from_db()
    assert (own.done_by, other.done_at) == (helper, None)


def test_a_trial_is_confirmed_once(helper):
    gate = recorded(JobFactory(), "air", helper)
    gate.confirm("passed", helper)
    with pytest.raises(Refused, match="already"):
        Gate.objects.with_trials().get(pk=gate.pk).confirm("failed", helper, "changed my mind")


def test_nothing_to_confirm_before_readings_are_judged(helper):
    gate = Gate.objects.open_for(JobFactory(), helper)[0]
    with pytest.raises(Refused, match="Judge the readings first"):
        gate.confirm("passed", helper)
