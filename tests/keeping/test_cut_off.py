"""Kill -9 in the middle of a write, at every statement of it: nothing is half-done, and work goes on."""

import json
import os
import subprocess
import sys
from decimal import Decimal as D
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from django.core.management import call_command
from django.urls import reverse

from builds.jobs.models import Stage
from builds.sheets.models import Document
from parts.orders.models import Arrival
from parts.shelf.models import Move, Stock
from parts.workshop.models import AuditEntry
from tests.factories import once
from tests.orders.conftest import jobs, ordered  # noqa: F401
from tests.orders.test_stress import address
from tests.quotes.conftest import in_days

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def cut_off(owner_client, tmp_path):
    """Sends a form in processes that are killed after each statement that writes; returns how many were killed.

    None of them changed anything; the last one committed, and its answer was lost.
    """

    def run(path, form):
        env = os.environ | {
            "DATABASE_URL": address(), "LOOPWRIGHT_VAR": str(tmp_path), "LOOPWRIGHT_SECRET": django_settings.SECRET_KEY,
        }  # fmt: skip
        job = {"path": path, "form": form, "session": owner_client.session.session_key}
        done = subprocess.run(
            [sys.executable, str(Path(__file__).with_name("cut_off.py"))], input=json.dumps(job), env=env, text=True,
            capture_output=True, timeout=300,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        said = json.loads(done.stdout)
        assert said["traces"] == []
        return said["killed"]

    return run


def test_goods_in(cut_off, ordered, jobs, owner_client):  # noqa: F811
    line = ordered({jobs[0]: 3})
    path, form = reverse("orders:receive", args=[line.order.number]), once(place="bench")
    recorded = AuditEntry.objects.filter(verb="received").count()
    assert cut_off(path, form) >= 8, "mark, place, stock, move, arrival, its link, costs, trail"
    for _impatient in range(2):
        owner_client.post(path, form)
    assert Stock.objects.get().quantity == D(3)
    assert Move.objects.count() == Arrival.objects.count() == 1
    assert AuditEntry.objects.filter(verb="received").count() == recorded + 1
    call_command("verify", verbosity=0)


def test_sending_a_quote(cut_off, draft, owner, owner_client, job):
    draft.set_terms(owner, valid_until=in_days(14), promise=in_days(60), margin_percent=draft.margin_percent)
    draft.refresh_from_db()
    path = reverse("quotes:send", args=[job.number, draft.quote.number, 1])
    form = once(version=draft.version)
    assert cut_off(path, form) >= 8, "mark, version, lines, stages, document, issue, spec, job, trail"
    draft.refresh_from_db()
    job.refresh_from_db()
    assert (draft.state, draft.total, job.stage) == ("sent", D(888), Stage.QUOTED)
    owner_client.post(path, form)
    assert AuditEntry.objects.filter(verb="sent").count() == Document.objects.count() == 1
    call_command("verify", verbosity=0)
    assert owner_client.get(reverse("quotes:pdf", args=[job.number, draft.quote.number, 1])).status_code == 200
