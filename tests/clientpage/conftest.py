"""A job with a quote that was sent, and a private link to its page. All invented."""

import pytest
from django.core.cache import cache
from django.urls import reverse

from builds.clientpage.models import Link
from tests.quotes.conftest import agreed, draft, in_days, job, plan, put, sent, shop, spec, stops  # noqa: F401


@pytest.fixture(autouse=True)
def _nobody_tried_before():
    cache.clear()


@pytest.fixture
def link(job, owner):  # noqa: F811
    made, made.token = Link.make(job, owner)
    return made


@pytest.fixture
def page(link):
    return reverse("clientpage:page", args=[link.token])


def act(link, issue, what):
    return reverse(f"clientpage:{what}", args=[link.token, issue.quote.number, issue.number])
