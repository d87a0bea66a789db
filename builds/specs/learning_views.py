from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.checks.lessons import SoakLesson
from builds.jobs.models import Job
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .forms import AsideForm
from .learning import learning_of


def _lesson(request, pk):
    visible = Job.objects.visible_to(request.user)
    return get_object_or_404(SoakLesson.objects.filter(job__in=visible).select_related("job"), pk=pk)


@for_workshop
@require_safe
def learning(request):
    """Which jobs taught what, the four factors before and after each, and how the range narrowed."""
    lessons = list(SoakLesson.objects.select_related("job", "person", "aside_by"))
    learnt = learning_of(lessons)
    page = Paginator(learnt["lessons"], 20).get_page(request.GET.get("page"))
    return answer(request, "specs/learning.html", {**learnt, "page": page})


@for_owner
@require_http_methods(["GET", "POST"])
def aside(request, pk):
    """Set a job's readings aside, with a reason."""
    lesson = _lesson(request, pk)
    form = AsideForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: lesson.set_aside(form.cleaned_data["reason"], request.user)):
            return redirect("specs:learning")
    return answer(request, "specs/aside.html", {"lesson": lesson, "form": form})


@for_owner
@require_POST
def take_back(request, pk):
    """Let readings that were set aside count again."""
    lesson = _lesson(request, pk)
    with acting(request):
        lesson.take_back(request.user)
    return redirect("specs:learning")
