"""The test record of a job: what page, sheet and hand-over pack all show of its gates."""

from django.utils import timezone
from django.utils.translation import gettext as _

from builds.plots.paper import data_uri
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of

from .log_pictures import log_pictures
from .models import Gate
from .pictures import compared, comparison, in_words


def record_of(job, gates=None, on_paper=False):
    """[{gate, trials (newest first)}] in the gates' order; each trial with its comparison and picture, if any.

    on_paper: pictures as the `src` of an image that needs no stylesheet.
    """
    return [
        {"gate": gate, "trials": [_trial(t, on_paper) for t in reversed(list(gate.trials.all()))] if gate.pk else []}
        for gate in (gates if gates is not None else Gate.objects.of(job))
    ]


def _trial(trial, on_paper):
    rows = comparison(trial)
    picture = compared(rows)
    if picture and on_paper:
        picture = data_uri(picture)
    log = getattr(trial, "log", None)
    return {
        "trial": trial, "comparison": rows, "picture": picture, "in_words": in_words(rows), "log": log,
        "lines": log_pictures(log, rows, on_paper) if log else [],
        "photos": [photo.as_src() for photo in trial.photos.all()] if on_paper else list(trial.photos.all()),
    }  # fmt: skip


def waived_of(job, workshop=None):
    """The findings on a job's spec (as agreed, else the newest) that somebody waived, with who and why."""
    if not job.waivers.exists():
        return []
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    return [finding for finding in findings_of(spec, workshop) if finding.waived] if spec else []


def paper_of(job, workshop):
    """What the test record as a document shows."""
    gates = record_of(job, on_paper=True)
    complete = all(row["gate"].is_through for row in gates)
    return {
        "title": _("Test record %(job)s") % {"job": job},
        "state": "" if complete else _("not complete"),
        "workshop": workshop, "job": job, "gates": gates, "waived": waived_of(job, workshop),
        "today": timezone.localdate(),
    }  # fmt: skip
