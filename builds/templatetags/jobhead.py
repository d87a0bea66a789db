"""The head that stays on top of every sheet of a job."""

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext_lazy as _

from builds.board.head import head_of
from builds.board.rows import gauge_of

register = template.Library()

# key, word, address, whether only the owner opens it
SHEETS = [
    ("brief", _("brief"), "jobs:brief", True),
    ("spec", _("spec"), "specs:spec", True),
    ("checks", _("checks"), "specs:checks", False),
    ("loop", _("loop"), "specs:loop", False),
    ("quote", _("quote"), "quotes:sheet", True),
    ("parts", _("parts"), "gathering:sheet", False),
    ("plan", _("plan"), "labour:plan", False),
    ("journal", _("journal"), "journal:sheet", False),
    ("proving", _("proving"), "proving:sheet", False),
    ("handover", _("hand-over"), "handover:sheet", True),
    ("money", _("money"), "quotes:money", True),
    ("life", _("life"), "handover:life", False),
]


def _address(name, job):
    try:
        return reverse(name, args=[job.number])
    except NoReverseMatch:
        return None


@register.simple_tag
def gauge(job):
    """The stage gauge of a job."""
    return gauge_of(job)


@register.inclusion_tag("jobs/_head.html", takes_context=True)
def job_head(context, job, here):
    """The job's number, stage and dates, and the row of its sheets; `here` is the key of the open one."""
    request = context["request"]
    person = request.user
    sheets = [
        {"key": key, "word": word, "url": _address(name, job), "here": key == here}
        for key, word, name, for_owner in SHEETS
        if (person.is_owner or not for_owner) and (key != "life" or job.serves_id or not job.is_live)
    ]
    head = head_of(job, person, request.workshop)
    return {"job": job, "gauge": gauge(job), "sheets": [s for s in sheets if s["url"]], "person": person, **head}
