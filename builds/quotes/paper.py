"""An issue on paper: what its template needs, its PDF, its frozen document."""

from collections import Counter

from django.utils import timezone
from django.utils.translation import gettext as _

from builds.sheets.models import Document
from builds.sheets.render import render_html, render_pdf
from parts.workshop.models import Workshop

from .heat import heat_data, heat_sentences

TEMPLATE = "quotes/paper.html"


def title_of(issue):
    said = _("Variation %(quote)s, issue %(number)s") if issue.is_variation else _("Quote %(quote)s, issue %(number)s")
    return said % {"quote": issue.quote, "number": issue.number}


def context(issue, figures):
    """Everything the paper shows, and nothing of cost or margin."""
    job, before = issue.quote.job, agreed_before(issue)
    _say_places(figures.parts)
    return {
        "title": title_of(issue),
        "state": _("draft, not an offer") if issue.is_draft else "",
        "workshop": Workshop.current(),
        "job": job,
        "client": job.client,
        "issue": issue,
        "day": timezone.localtime(issue.sent_at).date() if issue.sent_at else timezone.localdate(),
        "currency": issue.currency,
        "figures": figures,
        "before": before,
        "with_it": None if before is None else before + figures.totals.total,
        "effects": issue.effects(),
        "heat": heat_sentences(issue.spec) if issue.is_draft else issue.texts.get("heat", []),
    }


def _say_places(parts):
    """Under a part: its remark, and its role where the machine has several of the kind."""
    kinds = Counter(line.role.kind for line in parts if line.role_id)
    for line in parts:
        place = line.place if line.role_id and kinds[line.role.kind] > 1 else ""
        line.said = " · ".join(filter(None, [place, line.remark]))


def agreed_before(issue):
    """For a variation: what was agreed on the job without it; None for a quote."""
    if not issue.is_variation:
        return None
    accepted = type(issue).objects.filter(quote__job=issue.quote.job, state=issue.State.ACCEPTED).exclude(pk=issue.pk)
    return sum(other.total for other in accepted)


def html(issue, figures):
    return render_html(TEMPLATE, context(issue, figures))


def pdf(issue, figures):
    return render_pdf(TEMPLATE, context(issue, figures))


def freeze(issue, figures):
    """The document of an issue that is being sent; its figures go with it as data."""
    return Document.freeze(
        kind="variation" if issue.is_variation else "quote",
        number=str(issue.quote),
        issue=issue.number,
        title=f"{title_of(issue)}: {issue.quote.job.title}"[:160],
        pdf=pdf(issue, figures),
        data=as_data(issue, figures),
    )


def as_data(issue, figures):
    """The issue as JSON-ready data; amounts are decimal strings in `currency`."""
    totals = figures.totals
    return {
        "currency": issue.currency,
        "client": issue.quote.job.client.name,
        "spec": issue.spec.number,
        "valid_until": issue.valid_until and issue.valid_until.isoformat(),
        "promise": issue.promise and issue.promise.isoformat(),
        "effects": issue.effects(),
        "lines": [_line_data(line) for line in figures.lines],
        "tax": [
            {"category": g.rate.category, "percent": str(g.rate.percent), "base": str(g.base), "tax": str(g.tax)}
            for g in totals.groups
        ],
        "net": str(totals.net),
        "tax_total": str(totals.tax),
        "total": str(totals.total),
        "stage_payments": [{"name": s.name, "due": s.due, "amount": str(s.amount)} for s in figures.stages],
        "heat": heat_data(issue.spec),
    }


def _line_data(line):
    return {
        "kind": line.kind,
        "text": line.text,
        "remark": line.beneath,
        "quantity": str(line.quantity),
        "unit": line.unit,
        "unit_price": str(line.unit_price),
        "amount": str(line.amount),
        "tax_percent": str(line.tax_percent),
    }
