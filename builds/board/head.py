"""What the head of a job's sheets says: stage, promise, forecast, the next thing."""

from django.utils import timezone

from builds.jobs.models import Job

from .rows import dates
from .saying import next_thing
from .sight import look


def head_of(job, person, workshop):
    """The head's words for a live job in three queries while the forecast is kept; for a closed one none."""
    if not job.is_live:
        return {}
    today = timezone.localdate()
    (sight,) = look(Job.objects.filter(pk=job.pk), person, workshop, money=False)
    coming = next_thing(sight, today)
    promise, forecast, in_hand, tone = dates(sight.outlook)
    why = sight.outlook.forecast.why if forecast else ""
    return {
        "next": coming.text, "detail": coming.detail, "is_late": coming.is_late, "promise": promise,
        "forecast": forecast, "in_hand": in_hand, "tone": tone, "why": why,
    }  # fmt: skip
