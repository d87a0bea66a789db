"""The board's lines: ready strings made from what is known of each job. Pure."""

from dataclasses import dataclass
from functools import lru_cache

from django.contrib.humanize.templatetags.humanize import apnumber
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from builds.jobs.models import LINE_OF_STAGES, Job, Stage
from builds.labour.days import short
from builds.labour.forecast import HOURS, NOTHING
from builds.labour.rows import hours_text
from builds.plots.gauge import stage_gauge
from builds.plots.measure import measure
from parts.templatetags.bench import money

from .saying import next_thing


@dataclass(frozen=True)
class Row:
    """One job's line, said. tone: the class of its date, "late", "early" or none."""

    number: str
    url: str
    title: str
    client: str
    gauge: str
    stage: str
    next: str
    detail: str
    detail_tone: str
    hours: str
    rule: str
    money: str
    promise: str
    forecast: str
    in_hand: str
    tone: str


@lru_cache
def _stage_words(_language):
    """Every stage's word; asking each row for its own is what a board of many jobs spends most of its time on."""
    return {stage.value: str(stage.label) for stage in Stage}


def stage_word(job):
    """The stage of a job in the reader's language."""
    return _stage_words(get_language())[job.stage]


def gauge_of(job):
    """The seven-notch gauge of a job's stage."""
    return _gauge(job.stage_index, stage_word(job), get_language())


@lru_cache(maxsize=64)
def _gauge(index, stage, _language):
    count = len(LINE_OF_STAGES)
    words = _("stage %(n)d of %(of)d: %(stage)s") % {"n": index, "of": count, "stage": stage}
    return stage_gauge(index, count, words if index else stage)


def board_rows(sights, today, currency, is_owner):
    """The lines of the board in the order of the sights; clients and money only for the owner."""
    address = addresses("jobs:job")
    return [_row(sight, today, currency, is_owner, address) for sight in sights]


def addresses(name):
    """A function that gives a job's address of some name: looking one up takes longer than saying a line."""
    first = Job(number=0)
    before, after = reverse(name, args=[first.number]).split(str(first))
    return lambda job: f"{before}{job}{after}"


def _row(sight, today, currency, is_owner, address):
    job, outlook = sight.job, sight.outlook
    coming, tally = next_thing(sight, today), outlook.tally
    hours = _("%(used)s of %(quoted)s h") % {"used": hours_text(tally.logged), "quoted": hours_text(tally.quoted)}
    promise, forecast, in_hand, tone = dates(outlook)
    return Row(
        number=str(job), url=address(job), title=job.title,
        client=job.client.name if is_owner else "", gauge=gauge_of(job), stage=stage_word(job),
        next=coming.text, detail=coming.detail, detail_tone="late" if coming.is_late else "",
        hours=hours if outlook.has_plan else "–",
        rule=measure(tally.logged, tally.quoted, hours) if outlook.has_plan else "",
        money=money(sight.due, currency) if sight.due else "",
        promise=promise, forecast=forecast, in_hand=in_hand, tone=tone,
    )  # fmt: skip


def dates(outlook):
    """(promise, forecast, days in hand, tone) of a job in words."""
    if not outlook.has_plan and not outlook.missing:
        return (short(outlook.job.promise) if outlook.job.promise else "–"), "", "", ""
    forecast, days = short(outlook.forecast.day), outlook.in_hand
    if outlook.forecast.undated:
        forecast = _("%(day)s at best") % {"day": forecast}
    if days is None:
        return "–", _("ready %(day)s") % {"day": forecast}, "", ""
    promise = short(outlook.job.promise)
    if days < 0:
        return promise, forecast, ngettext("%(n)s day late", "%(n)s days late", -days) % {"n": -days}, "late"
    return promise, forecast, ngettext("%(n)s day in hand", "%(n)s days in hand", days) % {"n": days}, "early"


def sentence(sights):
    """What the board says on top, counted: “Six live jobs. One promise in danger, by one part.”"""
    count = len(sights)
    live = ngettext("%(n)s live job.", "%(n)s live jobs.", count) % {"n": capfirst(apnumber(count))}
    endangered = [sight for sight in sights if sight.outlook.in_hand is not None and sight.outlook.in_hand < 0]
    if not endangered:
        return _("%(live)s No promise in danger.") % {"live": live}
    danger = ngettext("%(n)s promise in danger", "%(n)s promises in danger", len(endangered)) % {
        "n": capfirst(apnumber(len(endangered)))
    }
    return f"{live} {danger}, {_by(endangered)}."


def _by(endangered):
    """What endangers them: “by one part”, “by hours”, “by two parts and by hours”."""
    drivers = [sight.outlook.forecast for sight in endangered]
    parts = sum(1 for one in drivers if one.driver not in (HOURS, NOTHING))
    causes = [ngettext("by %(n)s part", "by %(n)s parts", parts) % {"n": apnumber(parts)}] if parts else []
    if parts < len(drivers):
        causes.append(_("by the hours left"))
    return _(" and ").join(causes)
