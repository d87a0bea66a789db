"""The money sheet: what is due, billed, paid and owed."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from parts.workshop.access import for_owner
from parts.workshop.answers import answer
from parts.workshop.money import rounded
from parts.workshop.tables import as_file

from .bill_paper import xml_of
from .bills import Bill, Payment
from .comparing import compare
from .earning import finished_jobs
from .forms import BillForm, GiveBackForm, PaymentForm
from .mail_views import mail_bill_of
from .models import Issue, StagePayment
from .money_list import money_rows, safe_rows
from .pages import find_job

DAYS_TO_PAY = 14


def show_money(request, job, refused_bills=None, **forms):
    """The money sheet with forms that were not accepted: refused_bills {stage payment's pk: form}, or payment_form."""
    refused_bills = refused_bills or {}
    stages = list(StagePayment.objects.agreed([job]).select_related("issue__quote", "bill"))
    bills = list(job.bills.with_paid().select_related("stage_payment", "credits", "document"))
    for row in stages:
        row.due_now = row.is_due_in(job.stage)
        row.bill_form = refused_bills.get(row.pk) or BillForm(
            person=request.user, email=job.client.email, initial={"due_on": _pay_by()}, auto_id=f"bill{row.pk}_%s"
        )
    agreed = sum(row.amount for row in stages)
    paid = sum(bill.paid or 0 for bill in bills)
    context = {
        "job": job,
        "stages": stages,
        "bills": bills,
        "payments": Payment.objects.filter(bill__job=job).select_related("bill", "person"),
        "agreed": agreed,
        "billed": sum(bill.amount for bill in bills),
        "paid": paid,
        "to_come": agreed - paid,
        "owed": Bill.objects.amount_due([job]).get(job.pk, 0),
        "currency": stages[0].issue.currency if stages else request.workshop.currency,
        "compared": compare(job) if stages else None,
        "finished": finished_jobs(request.workshop.currency, but=job) if stages else [],
        "open_issue": Issue.objects.filter(quote__job=job, state=Issue.State.SENT).exists(),
        **forms,
    }
    return answer(request, "quotes/money.html", context, fragment="quotes/_money.html")


def _pay_by():
    return timezone.localdate() + timezone.timedelta(days=DAYS_TO_PAY)


@for_owner
@require_safe
def money(request, number):
    job = find_job(request, number)
    chosen = request.GET.get("bill", "")
    bill = job.bills.with_paid().filter(number=int(chosen)).first() if chosen.isdecimal() and len(chosen) < 10 else None
    return show_money(request, job, **(_payment_forms(request, bill) if bill else {}))


def _payment_forms(request, bill):
    form = PaymentForm(
        person=request.user, initial={"amount": rounded(bill.open, bill.currency), "received_on": timezone.localdate()}
    )
    back = GiveBackForm(
        person=request.user, email=bill.job.client.email, initial={"amount": rounded(bill.amount, bill.currency)}
    )
    return {"payment_form": form, "back_form": back, "bill": bill}


def _say_it_is_raised(request, form):
    """Say that a bill is raised and, where it was wished, whether it went to the client."""
    if form.result:
        messages.success(request, _("%(bill)s is raised.") % {"bill": form.result})
    if form.wants_mail:
        mail_bill_of(request, form.result)


@for_owner
@require_POST
def raise_bill(request, number, pk):
    """Bill a stage payment."""
    job = find_job(request, number)
    stage = get_object_or_404(StagePayment, pk=pk, issue__quote__job=job)
    form = BillForm(request.POST, person=request.user, email=job.client.email)
    if form.is_valid() and form.carry_out(lambda: Bill.raise_for(stage, request.user, form.cleaned_data["due_on"])):
        _say_it_is_raised(request, form)
        return redirect("quotes:money", number)
    return show_money(request, job, refused_bills={stage.pk: form})


@for_owner
@require_POST
def record_payment(request, number, bill):
    """Money that came in."""
    job = find_job(request, number)
    found = get_object_or_404(job.bills.with_paid(), number=bill)
    form = PaymentForm(request.POST, person=request.user)
    if form.is_valid() and form.carry_out(lambda: found.record_payment(request.user, **form.typed)):
        return redirect("quotes:money", number)
    return show_money(request, job, payment_form=form, bill=found)


@for_owner
@require_POST
def give_back(request, number, bill):
    """A credit note over some or all of a bill."""
    job = find_job(request, number)
    found = get_object_or_404(job.bills.with_paid(), number=bill)
    form = GiveBackForm(request.POST, person=request.user, email=job.client.email)
    if form.is_valid() and form.carry_out(lambda: found.give_back(request.user, **form.typed)):
        _say_it_is_raised(request, form)
        return redirect("quotes:money", number)
    return show_money(request, job, **_payment_forms(request, found) | {"back_form": form})


def _frozen(request, number, bill):
    found = get_object_or_404(find_job(request, number).bills.select_related("document"), number=bill)
    if found.document is None:
        raise Http404
    return found.document


@for_owner
@require_safe
def bill_pdf(request, number, bill):
    """The frozen bill."""
    document = _frozen(request, number, bill)
    headers = {"Content-Disposition": f'inline; filename="{document.file_name}"'}
    return HttpResponse(document.read(), content_type="application/pdf", headers=headers)


@for_owner
@require_safe
def bill_xml(request, number, bill):
    """The frozen bill as an EN 16931 invoice."""
    document = _frozen(request, number, bill)
    headers = {"Content-Disposition": f'attachment; filename="{document.number}.xml"'}
    return HttpResponse(xml_of(document.data), content_type="application/xml", headers=headers)


@for_owner
@require_safe
def money_file(request, number, form):
    """Stage payments, bills and payments of a job, for a spreadsheet."""
    job = find_job(request, number)
    return as_file(form, safe_rows(money_rows(job)), f"{job}-money", str(job), name_column=3)
