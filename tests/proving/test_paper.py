"""The test record as a document, read back."""

import io

import pikepdf
import pytest
from django.urls import reverse

from tests.factories import JobFactory
from tests.sheets.reading import text_of

from .readings import gate_of, passed, recorded

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
