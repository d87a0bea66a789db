"""The workshop's own plan patterns, and what their steps take by its own hours."""

from datetime import timedelta

import numpy as np
import pytest
from django.urls import reverse
from django.utils import timezone

from builds.labour.estimates import learnt
from builds.labour.models import HoursEntry, PatternTask, PlanPattern, Task
from tests.factories import JobFactory, TaskFactory, WorkKindFactory, once

pytestmark = pytest.mark.django_db


def test_median_and_percentile_are_numpys():
    rng = np.random.default_rng(4)
    for count in range(1, 40):
        hours = rng.gamma(3, 1, count).tolist()
        found = learnt(hours)
        assert found.median == pytest.approx(np.median(hours))
        assert found.most == pytest.approx(np.percentile(hours, 80))
        assert (found.jobs, found.is_enough) == (count, count >= 5)
    assert learnt([]) is None


@pytest.fixture
def pattern():
    found = PlanPattern.objects.create(name="Tall case")
    kind = WorkKindFactory()
    facts = {"pattern": found, "work_kind": kind, "hours_low": 1, "hours_likely": 2, "hours_high": 3}
    cut = PatternTask.objects.create(name="Cut", position=0, **facts)
    file = PatternTask.objects.create(name="File edges", position=1, **facts)
    file.after.add(cut)
    return found


def step(pattern, name):
    return pattern.tasks.get(name=name)


def typed(pattern, **changed):
    return once(**{
        "name": "Paint", "work_kind": pattern.tasks.first().work_kind_id, "position": "2", "per": "job",
        "hours_low": "1", "hours_likely": "2", "hours_high": "4", "version": "1", **changed,
    })  # fmt: skip


def done(pattern, hours, count=1):
    task = TaskFactory(job=JobFactory(), pattern_task=step(pattern, "Cut"), count=count, done_at=timezone.now())
    start = timezone.now() - timedelta(days=2)
    person = HoursEntry._meta.get_field("person").related_model.objects.first()
    begun = start - timedelta(days=3 * Task.objects.count())
    HoursEntry.objects.create(task=task, person=person, started_at=begun, ended_at=begun + timedelta(hours=hours))


def test_own_hours_count_by_piece_and_wait_for_five_jobs(owner_client, owner, pattern):
    for hours in (2, 4, 6, 8):
        done(pattern, hours, count=2)
    assert Task.objects.own_hours(pattern) == {step(pattern, "Cut").pk: [1, 2, 3, 4]}
    page = owner_client.get(reverse("labour:pattern", args=[pattern.pk])).content.decode()
    assert "half within 2.5 h, four in five within 3.4 h, from 4 jobs" in page
    assert "new plans take these from five jobs on" in page
    done(pattern, 20, count=2)
    page = owner_client.get(reverse("labour:pattern", args=[pattern.pk])).content.decode()
    assert "half within 3.0 h, four in five within 5.2 h, from 5 jobs" in page
    assert "new plans take these<" in page


def test_a_step_is_added_with_its_order(owner_client, pattern):
    after = [step(pattern, "File edges").pk]
    owner_client.post(reverse("labour:step_add", args=[pattern.pk]), typed(pattern, after=after, needs_kinds=["fan"]))
    paint = step(pattern, "Paint")
    assert list(paint.after.all()) == [step(pattern, "File edges")]
    assert paint.needs_kinds == ["fan"]


def test_a_circle_is_refused_by_name_and_nothing_is_kept(owner_client, pattern):
    cut, file = step(pattern, "Cut"), step(pattern, "File edges")
    answer = owner_client.post(
        reverse("labour:step_edit", args=[cut.pk]), typed(pattern, name="Cut it", position="0", after=[file.pk])
    )
    assert "goes in a circle" in answer.content.decode()
    cut.refresh_from_db()
    assert cut.name == "Cut"


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"hours_low": "3"}, "go upward"),
        ({"hours_low": "0", "hours_likely": "0", "hours_high": "0"}, "takes some time"),
        ({"hours_high": "1000"}, "200"),
        ({"name": "Cut"}, "stands in this pattern already"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(owner_client, pattern, changed, says):
    answer = owner_client.post(reverse("labour:step_add", args=[pattern.pk]), typed(pattern, **changed))
    assert says in answer.content.decode()
    assert pattern.tasks.count() == 2


def test_a_step_taken_out_leaves_the_order_whole(owner_client, owner, pattern):
    paint = PatternTask.objects.create(
        pattern=pattern, name="Paint", work_kind=WorkKindFactory(), hours_low=1, hours_likely=1, hours_high=1
    )
    paint.after.add(step(pattern, "File edges"))
    owner_client.post(reverse("labour:step_remove", args=[step(pattern, "File edges").pk]), once())
    assert list(paint.after.all()) == [step(pattern, "Cut")]


def test_patterns_are_the_owners(helper_client, pattern):
    for name in ("labour:pattern", "labour:pattern_edit", "labour:step_add"):
        assert helper_client.get(reverse(name, args=[pattern.pk])).status_code == 403


def test_settings_lead_to_rates_and_patterns(owner_client, pattern):
    assert reverse("labour:rates") in owner_client.get(reverse("workshop:settings")).content.decode()
    assert reverse("labour:pattern", args=[pattern.pk]) in owner_client.get(reverse("labour:rates")).content.decode()


def test_a_pattern_sent_twice_is_made_once(owner_client):
    sent = once(name="Wall mount")
    for _turn in range(2):
        assert owner_client.post(reverse("labour:pattern_add"), sent).status_code == 302
    assert PlanPattern.objects.filter(name="Wall mount").count() == 1
