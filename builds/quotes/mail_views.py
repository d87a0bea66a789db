"""Papers that go to the client by e-mail at the touch of a button, as often as the owner wants."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from parts.workshop.access import for_owner

from . import letters
from .bills import Bill
from .forms import SheetForm
from .pages import find_issue, find_job


def say_whether_it_went(request, went, client):
    if went:
        messages.success(request, _("It went by e-mail to %(email)s.") % {"email": client.email})
    elif client.email:
        messages.error(request, _("The e-mail did not go. Try again later, or send the PDF another way."))
    else:
        messages.error(request, _("No e-mail address is known of %(client)s; type it on the client’s page.")
                       % {"client": client})  # fmt: skip


def mail_bill_of(request, bill):
    """Mail a bill, as a reminder once it is overdue, and say whether it went."""
    found = Bill.objects.with_paid().select_related("job__client", "document").get(pk=bill.pk)
    say_whether_it_went(request, letters.billed(found, request.user), found.job.client)


@for_owner
@require_POST
def mail_issue(request, number, quote, issue):
    """Mail a sent issue that waits for its answer, or a copy of what was accepted."""
    found = find_issue(request, number, quote, issue)
    form = SheetForm(request.POST, person=request.user)
    if found.standing not in (found.State.SENT, found.State.ACCEPTED) or not found.document:
        messages.error(request, _("%(issue)s is %(state)s; only an offer that counts is mailed.")
                       % {"issue": found, "state": found.standing.label})  # fmt: skip
    elif form.is_valid() and form.carry_out(lambda: found) and form.result:
        agreed = found.standing == found.State.ACCEPTED
        went = letters.accepted(found) if agreed else letters.offered(found, request.user)
        say_whether_it_went(request, went, found.quote.job.client)
    return redirect("quotes:issue", number, quote, issue)


@for_owner
@require_POST
def mail_bill(request, number, bill):
    """Mail a bill or remind of an overdue one."""
    found = get_object_or_404(find_job(request, number).bills.exclude(document=None), number=bill)
    form = SheetForm(request.POST, person=request.user)
    if form.is_valid() and form.carry_out(lambda: found) and form.result:
        mail_bill_of(request, found)
    return redirect(reverse("quotes:money", args=[number]) + f"#bill-{found}")
