"""The test record as a document, read back."""

import io

import pikepdf
import pytest
from django.urls import reverse

from builds.proving.models import Gate, Trial
from tests.factories import JobFactory
from tests.handover.machine import built
from tests.sheets.reading import pages_of, tags_of, text_of

from .readings import gate_of, passed, post, recorded
from .soaklog import soak, written
from .test_log_pages import columns_of, send, typed

pytestmark = pytest.mark.django_db


def test_the_record_tells_readings_limits_verdicts_people_and_waivers(helper_client, owner, helper):
    job = JobFactory(title="quiet cutting-room machine")
    recorded(job, "air", helper, pressure_2=0.4).confirm("failed", helper)
    passed(job, helper, ["air", "wet", "fill"])
    gate_of(job, "electrical", owner).waive("signed on the client's site by their electrician", owner)
    recorded(job, "soak", helper).confirm("passed", helper)
    answer = helper_client.get(reverse("proving:record", args=[job.number]))
    assert answer["Content-Type"] == "application/pdf"
    words = text_of(answer.content)
    for expected in (
        f"Test record {job}", "quiet cutting-room machine", "21.3 °C", "0.002 mbar·L/s", "failed", "passed", "waived",
        "signed on the client's site by their electrician", "hand", "Trial 2", "foretold",
    ):  # fmt: skip
        assert expected in words, expected
    assert job.client.name not in words
    with pikepdf.open(io.BytesIO(answer.content)) as pdf:
        assert pdf.Root.MarkInfo.Marked


def test_an_unfinished_record_says_so(helper_client):
    words = text_of(helper_client.get(reverse("proving:record", args=[JobFactory().number])).content)
    assert "not complete" in words
    assert words.count("not begun") == 5


def test_no_heading_stands_alone_and_everything_is_tagged(helper_client, owner):
    """A soak by its log fills a page with pictures and readings. ISO 14289-1, from memory: structure tree, language,
    title shown, headings, header cells, and a text for each picture."""
    job = built(owner, ready=False)
    passed(job, owner, ["air", "wet", "fill", "electrical"])
    send(helper_client, job, written(soak()))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    for longer in (
        0,
        10,
        14,
        18,
        22,
    ):  # lines of a note: at one of them the soak fills its page alone
        Trial.objects.filter(gate__kind="soak").update(note="seen\n" * longer)
        pdf = helper_client.get(reverse("proving:record", args=[job.number])).content
        assert not {page[-1].casefold() for page in pages_of(pdf)} & set(map(str, Gate.Kind.labels)), longer
    with pikepdf.open(io.BytesIO(pdf)) as read:
        tags, without = tags_of(read)
        assert read.Root.ViewerPreferences.DisplayDocTitle
        assert read.Root.Lang
    assert {"/H1", "/H2", "/H3", "/Table", "/TR", "/TH", "/TD", "/Figure", "/P"} <= tags.keys()
    assert tags["/Figure"] >= 4
    assert without == 0, "a picture that says nothing to who cannot see it"
