"""The bench's time: who works when, and who is away; the owner's."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer
from parts.workshop.models import Person

from .bench_forms import AbsenceForm, BenchWeekForm
from .bench_time import DAYS, LABELS, Absence, BenchWeek, weeks_of
from .rows import hours_text


@for_owner
@require_http_methods(["GET", "POST"])
def bench_time(request):
    """Everybody's week, and the days away from today on; the form adds some."""
    form = AbsenceForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid() and form.keep():
        messages.success(request, _("Written down; the forecast takes it into account."))
        return redirect("labour:bench_time")
    people = list(Person.objects.filter(is_active=True).select_related("bench_week").order_by("pk"))
    weeks = weeks_of(people, request.workshop.weekly_hours)
    rows = [
        {
            "person": person, "own": hasattr(person, "bench_week"), "sum": hours_text(sum(week)),
            "days": [(label, hours_text(hours) if hours else "–") for label, hours in zip(LABELS, week, strict=True)],
        }
        for person, week in zip(people, weeks, strict=False)
    ]  # fmt: skip
    away = Absence.objects.filter(last__gte=timezone.localdate()).select_related("person")
    return answer(request, "labour/bench_time.html", {"form": form, "rows": rows, "labels": LABELS, "away": away})


@for_owner
@require_http_methods(["GET", "POST"])
def bench_week(request, pk):
    """One person's hours at the bench, Monday to Sunday."""
    person = get_object_or_404(Person, pk=pk)
    week = BenchWeek.objects.filter(person=person).first()
    if week is None:
        people = list(Person.objects.filter(is_active=True).select_related("bench_week"))
        usual = weeks_of([person], float(request.workshop.weekly_hours) / max(len(people), 1))[0]
        week = BenchWeek(person=person, **{day: round(hours, 1) for day, hours in zip(DAYS, usual, strict=True)})
    form = BenchWeekForm(request.POST or None, instance=week, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        messages.success(request, _("The week is kept; the forecast takes it into account."))
        return redirect("labour:bench_time")
    return answer(request, "labour/bench_week.html", {"form": form, "person": person})


@for_owner
@require_POST
def absence_remove(request, pk):
    away = get_object_or_404(Absence.objects.select_related("person"), pk=pk)
    with acting(request):
        away.remove(request.user)
    messages.success(request, _("Taken back: %(person)s is here.") % {"person": away.person})
    return redirect("labour:bench_time")
