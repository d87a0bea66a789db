"""A disk that fills up while a document is frozen: a plain message, nothing half-done, and work goes on after."""

import errno
import os
from contextlib import contextmanager

import pytest
from django.urls import reverse

from builds.quotes.bills import Bill
from builds.quotes.models import StagePayment
from builds.sheets.models import Document
from parts.workshop.models import AuditEntry, Counter
from parts.workshop.refusal import Refused
from tests.factories import once

from .conftest import in_days


@contextmanager
def full_disk(monkeypatch):
    def no_room(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", no_room)
        yield


def test_a_quote_stays_a_draft_and_is_sent_once_there_is_room(draft, owner, owner_client, monkeypatch, job, spec):
    draft.set_terms(owner, valid_until=in_days(14), promise=in_days(60), margin_percent=draft.margin_percent)
    draft.refresh_from_db()
    url = reverse("quotes:send", args=[job.number, draft.quote.number, 1])
    form, recorded = once(version=draft.version), AuditEntry.objects.count()
    with full_disk(monkeypatch):
        answer = owner_client.post(url, form)
    assert "The disk is full" in answer.content.decode()
    assert (Document.objects.count(), AuditEntry.objects.count()) == (0, recorded)
    for row in (draft, job, spec):
        row.refresh_from_db()
    assert (draft.state, draft.total, job.stage, spec.frozen_at) == ("drafted", None, "enquiry", None)
    assert owner_client.post(url, form).status_code == 302
    draft.refresh_from_db()
    assert draft.state == "sent"
    assert draft.document.read().startswith(b"%PDF")


def test_a_bill_takes_no_number_that_would_be_missing_later(agreed, job, owner, monkeypatch):
    stage = StagePayment.objects.agreed([job]).order_by("position").first()
    with full_disk(monkeypatch), pytest.raises(Refused, match="disk is full"):
        Bill.raise_for(stage, owner, in_days(14))
    assert not Bill.objects.exists()
    assert not Counter.objects.filter(series="bill", last__gt=0).exists()
    assert Bill.raise_for(stage, owner, in_days(14)).number == 1
