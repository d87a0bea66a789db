"""The job card on paper: plan, cautions, parts and loop, read back from the PDF."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.labour.plan import lay_out
from builds.labour.seeding import USUAL, load_pattern
from parts.orders.models import Order
from tests.factories import JobFactory, SupplierFactory, SupplierPriceFactory
from tests.sheets.reading import text_of
from tests.specs.rows import machine

pytestmark = pytest.mark.django_db


def card(client, job):
    answer = client.get(reverse("labour:card", args=[job.number]))
    assert answer["Content-Type"] == "application/pdf"
    return text_of(answer.content)


@pytest.fixture
def job(owner):
    spec = machine()
    lay_out(spec.job, spec, load_pattern(USUAL), owner)
    return spec.job


def test_it_holds_every_task_with_its_caution_parts_and_order(helper_client, helper, job):
    done = job.tasks.first()
    done.finish(helper)
    text = card(helper_client, job)
    assert f"Job card {job}" in text
    assert job.title in text
    for task in job.tasks.all():
        assert task.name in text
        assert " ".join(task.caution.split()[:3]) in text
    radiator = job.roles.filter(kind="radiator").first()
    assert radiator.name in text
    assert radiator.lines.get().part.name.split()[0] in text
    assert "not here:" in text
    assert "Before any work" in text
    assert "Mains unplugged" in text


def test_it_draws_the_loop(helper_client, job):
    text = card(helper_client, job)
    assert "the way the coolant goes" in text
    assert "Temperatures are what the loop is reckoned to reach" in text


def test_a_plan_without_a_loop_or_a_spec_prints_all_the_same(helper_client):
    assert "No plan yet" in card(helper_client, JobFactory())


def test_it_names_no_price_and_no_client(helper_client, owner, job):
    for line in job.spec_versions.get().lines.select_related("part"):
        SupplierPriceFactory(part=line.part, price="1234.56")
    order = Order.draft(SupplierFactory(), owner)
    order.add_line(line.part, 1, 1234, owner, shares={job.tray: (1, None)})
    text = card(helper_client, job)
    assert job.client.name not in text
    assert "1,234" not in text
    assert "1234" not in text


def test_its_promise_and_day_stand_on_it(helper_client, job):
    job.promise = timezone.localdate() + timedelta(days=20)
    job.save()
    assert f"{job.promise.day} " in card(helper_client, job)


def test_strangers_get_none(client, job):
    assert client.get(reverse("labour:card", args=[job.number])).status_code == 302
