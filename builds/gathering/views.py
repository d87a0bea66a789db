from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.jobs.models import Job, Stage
from builds.specs.models import SpecLine
from parts.catalogue.models import Part
from parts.orders.models import Order
from parts.orders.worth import landed_for
from parts.shelf.models import Stock
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .forms import BroughtForm, BuyForm
from .gathered import gather
from .ordering import place as place_order
from .ordering import take_from_shelf
from .paper import order_paper
from .shopping import buy_list
from .trouble import left_of


@for_workshop
@require_safe
def sheet(request, number):
    """A job's parts: needed, here, on the shelf, on order, missing; for the owner what to buy, and from whom."""
    return _sheet_page(request, _job(request, number))


@for_owner
@require_POST
def buy(request, number):
    """Reckon the buy list anew with what was chosen, or make its orders."""
    job = _job(request, number)
    form = BuyForm(request.POST, person=request.user)
    if not form.is_valid() or "again" in request.POST:
        return _sheet_page(request, job, form)
    if form.carry_out(lambda: form.make(job)):
        made = form.result or []
        if made:
            named = ", ".join(str(order) for order in made)
            messages.success(
                request, ngettext("Drafted: %(orders)s. Place it when it is complete.",
                                  "Drafted: %(orders)s. Place them when they are complete.", len(made))
                % {"orders": named},
            )  # fmt: skip
        return redirect("orders:order", made[0].number) if len(made) == 1 else redirect("gathering:sheet", number)
    return _sheet_page(request, job, form)


def _sheet_page(request, job, form=None):
    gathered = gather(job)
    context = {
        "job": job, "gathered": gathered, "met": [row for row in gathered.rows if row.is_met],
        "to_come": [row for row in gathered.rows if not row.is_met],
        "brought": Stock.objects.lying().filter(tray=job.tray, owner=Stock.CLIENTS).select_related("part", "place"),
        "left": bool(left_of(job)) if job.stage == Stage.CANCELLED else False,
    }  # fmt: skip
    if request.user.is_owner:
        context["landed"] = landed_for([job.tray_id], request.workshop.currency)[job.tray_id]
    if request.user.is_owner and gathered.agreed and job.is_live:
        form = form or BuyForm(person=request.user)
        typed = form.is_bound and not form.errors.get("wish")
        wish = form.cleaned_data["wish"] if typed else "price"
        context |= {"form": form, "buying": buy_list(gathered, by=wish, fixed=form.fixed if typed else None)}
    return answer(request, "gathering/sheet.html", context, fragment="gathering/_buying.html")


@for_workshop
@require_POST
def take(request, number, part):
    """One tap: what the job needs of a part moves from the free shelf to its tray."""
    job, part = _job(request, number), get_object_or_404(Part, pk=part)
    with acting(request):
        quantity = take_from_shelf(job, part, request.user)
    messages.success(
        request, _("%(n)s × %(part)s moved to the tray.") % {"n": f"{quantity.normalize():f}", "part": part}
    )
    return redirect("gathering:sheet", number)


@for_workshop
@require_http_methods(["GET", "POST"])
def brought(request, number, line):
    """The client's own part for a role came."""
    job = _job(request, number)
    line = get_object_or_404(
        SpecLine.objects.select_related("part", "role"), pk=line, spec__job=job, client_supplied=True
    )
    form = BroughtForm(
        request.POST or None,
        request.FILES or None,
        person=request.user,
        initial={"quantity": line.quantity.normalize()},
    )
    if request.method == "POST" and form.is_valid() and form.carry_out(lambda: form.bring(job, line)):
        messages.success(request, _("The client's %(role)s is in the tray.") % {"role": line.role})
        return redirect("gathering:sheet", number)
    return answer(request, "gathering/brought.html", {"form": form, "job": job, "line": line})


@for_owner
@require_POST
def place(request, number):
    """Place an order; it brings the jobs it is for to gathering."""
    order = get_object_or_404(Order, number=number)
    with acting(request):
        place_order(order, request.user)
    messages.success(
        request, _("%(order)s is placed. Send it to the supplier; its PDF is on this page.") % {"order": order}
    )
    return redirect("orders:order", number)


@for_owner
@require_safe
def order_pdf(request, number):
    """The order on paper: as it stands while drafted, frozen from its first opening once it is placed."""
    order = get_object_or_404(Order.objects.select_related("supplier"), number=number)
    headers = {"Content-Disposition": f'inline; filename="order-{order}.pdf"'}
    return HttpResponse(order_paper(order), content_type="application/pdf", headers=headers)


def _job(request, number):
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("client", "tray"), number=number)
