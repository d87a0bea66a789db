from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.jobs.models import Job, Stage
from parts.workshop.access import for_workshop
from parts.workshop.answers import answer

from .rows import board_rows, sentence
from .sight import look
from .today import todays_work

LEFT_SHOWN = 10


def machines_that_left(words, person):
    """Handed-over machines that hold all the words, the newest first; asked for only where no live job does."""
    left = Job.objects.visible_to(person).filter(stage=Stage.HANDED_OVER, serves=None)
    return left.matching(words, by=person).order_by("-number")[:LEFT_SHOWN]


@for_workshop
@require_safe
def board(request):
    """All live jobs, one ruled line each; what endangers a promise comes first."""
    words, today, workshop = request.GET.get("q", "").strip(), timezone.localdate(), request.workshop
    jobs = Job.objects.visible_to(request.user).live().select_related("client")
    if words:
        jobs = jobs.matching(words, by=request.user)
    sights = look(jobs, request.user, workshop)
    context = {
        "rows": board_rows(sights, today, workshop.currency, request.user.is_owner),
        "sentence": sentence(sights),
        "q": words,
        "left": machines_that_left(words, request.user) if words and not sights else [],
    }
    return answer(request, "board/board.html", context, fragment="board/_lines.html")


@for_workshop
@require_safe
def today(request):
    """What can be done now across all jobs, what comes, what is late, what lapses and what falls due."""
    return answer(request, "board/today.html", todays_work(request.user, request.workshop, timezone.localdate()))
