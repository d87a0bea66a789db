from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.jobs.models import Job
from builds.sheets.render import render_pdf
from builds.specs.models import SpecVersion
from parts.shelf.models import Unit
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .forms import ConfirmForm, LimitsForm, LoopOpenedForm, ReadingsForm, SerialForm, WaiveForm
from .limits import ProvingLimits
from .machine import machine_of
from .models import Gate
from .record import paper_of, record_of
from .serials import parts_of
from .undoing import loop_opened


def _job(request, number):
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("tray", "serves"), number=number)


def _gate(job, kind):
    """The gate of a kind with its trials; unsaved before its first reading."""
    found = next((gate for gate in Gate.objects.of(job) if gate.kind == kind), None)
    if found is None:
        raise Http404
    return found


@for_workshop
@require_safe
def sheet(request, number):
    """The five gates of a job in their order, and the serial numbers read off."""
    job = _job(request, number)
    return answer(request, "proving/sheet.html", _sheet_context(request, job))


def _sheet_context(request, job, serials=None, opened=None):
    gates = record_of(job)
    stand = job.is_live and any(row["gate"].is_through and row["gate"].kind in Gate.SERVICE for row in gates)
    if opened is None and stand:
        opened = LoopOpenedForm(person=request.user)
    return {"job": job, "gates": gates, "opened_form": opened, **_serials(request, job, serials)}


def _serials(request, job, form=None):
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    form = form or SerialForm(person=request.user, job=job, parts=parts_of(spec))
    units = Unit.objects.filter(tray=job.tray).select_related("part").order_by("part__kind", "part__name", "serial")
    return {"units": units, "serial_form": form}


@for_workshop
@require_http_methods(["GET", "POST"])
def gate(request, number, kind):
    """One test: its method and cautions, the form for its readings, and every trial so far."""
    job = _job(request, number)
    found, machine, limits = _gate(job, kind), machine_of(job), ProvingLimits.current()
    form = ReadingsForm(
        request.POST or None, request.FILES or None, person=request.user, gate=found, machine=machine, limits=limits
    )
    if request.method == "POST" and form.is_valid() and form.carry_out(form.write):
        kept = _("Kept. Come back to this page for the rest.")
        messages.success(request, kept if form.keeping else _("Judged; see what the readings say and confirm it."))
        return redirect("proving:gate", number, kind)
    return answer(request, "proving/gate.html", _gate_context(request, found, machine, limits, form=form))


def _gate_context(request, found, machine, limits, form=None, confirm=None):
    latest = found.latest
    if form is None:
        form = ReadingsForm(person=request.user, gate=found, machine=machine, limits=limits)
    if confirm is None and latest and not latest.is_running and not latest.confirmed_at:
        confirm = ConfirmForm(person=request.user, subject=found, trial=latest)
    shown = next(one for one in record_of(found.job, [found]))
    return {
        "job": found.job, "gate": found, "record": shown, "form": form, "confirm": confirm,
        "steps": found.method.STEPS, "cautions": found.method.CAUTIONS,
        "limits": found.method.limit_lines(machine, limits), "first": found.needs_first(),
    }  # fmt: skip


@for_workshop
@require_POST
def confirm(request, number, kind):
    """Stand by the verdict of the newest trial."""
    job = _job(request, number)
    found = _gate(job, kind)
    if not found.latest:
        raise Http404
    form = ConfirmForm(request.POST, request.FILES, person=request.user, subject=found, trial=found.latest)
    if form.is_valid() and form.carry_out(lambda: found.confirm(by=request.user, **_word(form))):
        messages.success(request, _("%(gate)s: %(verdict)s.") % _said(found))
        return redirect("proving:sheet", number)
    context = _gate_context(request, found, machine_of(job), ProvingLimits.current(), confirm=form)
    return answer(request, "proving/gate.html", context)


def _word(form):
    return {name: form.cleaned_data[name] for name in ("verdict", "remark", "photo")}


def _said(found):
    return {"gate": found.get_kind_display(), "verdict": found.get_verdict_display()}


@for_owner
@require_http_methods(["GET", "POST"])
def waive(request, number, kind):
    """Go on without a test; the owner's word and reason."""
    job = _job(request, number)
    found = _gate(job, kind)
    form = WaiveForm(request.POST or None, person=request.user, subject=found)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: _opened(found, request.user).waive(form.cleaned_data["reason"], by=request.user)):
            messages.success(request, _("%(gate)s: waived.") % {"gate": found.get_kind_display()})
            return redirect("proving:sheet", number)
    return answer(request, "proving/waive.html", {"job": job, "gate": found, "form": form})


def _opened(found, person):
    return next(gate for gate in Gate.objects.open_for(found.job, by=person) if gate.kind == found.kind)


@for_workshop
@require_POST
def opened(request, number):
    """The loop of a machine in service is opened after all: its tests are due again."""
    job = _job(request, number)
    with acting(request):
        job.open_loop(request.user)
    messages.success(request, _("Air test, wet test and bleed are due again."))
    return redirect("proving:sheet", number)


@for_workshop
@require_POST
def loop_again(request, number):
    """The loop was opened after tests had passed: those that its tightness rests on are due again."""
    job = _job(request, number)
    form = LoopOpenedForm(request.POST, person=request.user)
    if form.is_valid() and form.carry_out(lambda: loop_opened(job, form.cleaned_data["what"], request.user)):
        messages.success(request, _("Air test, wet test and bleed are due again."))
        return redirect("proving:sheet", number)
    return answer(request, "proving/sheet.html", _sheet_context(request, job, opened=form))


@for_workshop
@require_POST
def serial(request, number):
    """Write down one more serial number."""
    job = _job(request, number)
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    form = SerialForm(request.POST, person=request.user, job=job, parts=parts_of(spec))
    if form.is_valid() and form.carry_out(form.write):
        messages.success(request, _("Serial number written down."))
        return redirect("proving:sheet", number)
    return answer(request, "proving/sheet.html", _sheet_context(request, job, serials=form))


@for_workshop
@require_safe
def record(request, number):
    """The test record as a document of its own."""
    job = _job(request, number)
    pdf = render_pdf("sheets/test_record.html", paper_of(job, request.workshop))
    name = f"test-record-{job}.pdf"
    return HttpResponse(pdf, "application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'})


@for_owner
@require_http_methods(["GET", "POST"])
def limits(request):
    """The workshop's own limits of the tests."""
    form = LimitsForm(request.POST or None, instance=ProvingLimits.row(), person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        messages.success(request, _("Limits saved; they hold for tests judged from now on."))
        return redirect("proving:limits")
    return answer(request, "proving/limits.html", {"form": form})
