"""What comes next for a job and what it waits for, in words. Pure, on a Sight."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.jobs.models import Stage
from builds.labour.days import said
from builds.labour.rows import missing_text
from builds.labour.waiting import RUNNING
from builds.quotes.models import Issue
from parts.workshop.numbers import label


@dataclass(frozen=True)
class Next:
    """The next thing, the line beneath it, and whether that line is bad news."""

    text: str
    detail: str = ""
    is_late: bool = False


def next_thing(sight, today):
    """What to do next on a job, and what it waits for."""
    found = _next(sight, today)
    if sight.job.paused_because:
        return Next(found.text, _("paused: %(reason)s") % {"reason": sight.job.paused_because})
    return found


def _next(sight, today):
    stage = sight.job.stage
    if stage in (Stage.ENQUIRY, Stage.QUOTED):
        return _before_agreement(sight, today)
    step = sight.outlook.next
    to_order = [part for part in sight.outlook.missing if not part.ordered and not part.claim.client_supplied]
    if stage == Stage.AGREED and to_order:
        count = ngettext("Order %(count)s part", "Order %(count)s parts", len(to_order)) % {"count": len(to_order)}
        return Next(count, ", ".join(part.role for part in to_order[:3]) + ("…" if len(to_order) > 3 else ""))
    if step is None:
        return _after_the_plan(sight)
    if step.state == RUNNING:
        return Next(step.task.name, _waits(sight, today) or _("the clock runs"), _is_late(sight, today))
    return Next(step.task.name, _waits(sight, today) or _("everything here"), _is_late(sight, today))


def _before_agreement(sight, today):
    offer, job = sight.offer, sight.job
    if offer is None or offer.is_variation:
        return _brief(sight)
    words = {"quote": label("quote", offer.quote), "issue": offer.issue}
    if offer.state == Issue.State.DRAFTED:
        return Next(_("Send %(quote)s issue %(issue)s") % words, _("drafted"))
    if offer.state == Issue.State.DECLINED:
        return Next(_("Offer anew, or close the enquiry"), _("%(quote)s issue %(issue)s was declined") % words)
    if offer.valid_until:
        words["day"] = said(offer.valid_until)
    if offer.has_lapsed(today):
        text = _("%(quote)s lapsed %(day)s") if offer.valid_until else _("%(quote)s lapsed")
        return Next(text % words, _("renew it, or close the enquiry"), True)
    text = _("%(quote)s issue %(issue)s lapses %(day)s") if offer.valid_until else _("%(quote)s issue %(issue)s is out")
    return Next(text % words, _("client to answer") if job.stage == Stage.QUOTED else "")


def _brief(sight):
    job = sight.job
    lacking = [
        word
        for word, value in ((_("purpose"), job.purpose), (_("room temperature"), job.room_warmest_c))
        if value in (None, "")
    ]
    if lacking:
        return Next(_("Take the brief"), _("missing: %(what)s") % {"what": ", ".join(lacking)})
    if not sight.outlook.has_spec:
        return Next(_("Write the spec"), _("the brief is taken"))
    return Next(_("Make the quote"), _("the spec is there"))


def _after_the_plan(sight):
    if not sight.outlook.has_plan:
        return Next(_("Lay out the plan"), _("no tasks yet"))
    if sight.open_gates:
        gates = ngettext("%(count)s gate open", "%(count)s gates open", sight.open_gates) % {"count": sight.open_gates}
        return Next(_("Prove the machine"), gates)
    return Next(_("Hand it over"), _("all gates settled"))


def _worst(parts):
    """The missing part without a date, else the last to come."""
    return next((part for part in parts if part.due is None), None) or max(parts, key=lambda part: part.due)


def _waits(sight, today):
    """As in “waits for pump, due Thu 3 Dec, and 2 more; coolant is late”; empty when nothing is missing."""
    parts = sight.outlook.missing
    if not parts:
        return ""
    first = _worst(parts)
    others = [part for part in parts if part is not first]
    text = _("waits for %(part)s") % {"part": missing_text(first, today)}
    if others:
        text += _(", and %(more)s more") % {"more": len(others)}
    late = [part.role for part in others if part.is_late(today)]
    return text + (_("; late: %(roles)s") % {"roles": ", ".join(late)} if late else "")


def _is_late(sight, today):
    return any(part.is_late(today) for part in sight.outlook.missing)
