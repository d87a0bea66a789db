"""The findings on a spec version, with the waivers that cover them."""

from builds.checks.models import Waiver
from builds.checks.registry import run

from .gather import facts_of


def findings_of(spec, workshop=None):
    """Every Finding on a spec version, sorted, each knowing whether it is waived. A constant number of queries."""
    return covered(spec.job_id, run(facts_of(spec, workshop)))


def covered(job_id, findings):
    """The findings with the job's waivers laid over them; a waiver whose numbers changed covers nothing."""
    waivers = {w.fingerprint: w for w in Waiver.objects.filter(job=job_id).select_related("person")}
    return [f.under(waivers[f.fingerprint]) if f.fingerprint in waivers else f for f in findings]


def open_stops(spec, workshop=None):
    """The stops that nobody has waived: while there are any, no quote goes out and those parts are not ordered."""
    return [finding for finding in findings_of(spec, workshop) if finding.holds_up]
