"""The owner's page of what is kept of a client: to give it to him, or to erase it."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_safe

from builds.clients.models import Client
from parts.workshop.access import for_owner
from parts.workshop.answers import answer
from parts.workshop.forms import CarefulForm

from .own_data import as_zip, erase, summary


class EraseForm(CarefulForm):
    years = forms.IntegerField(
        label=_("Years that bills are kept"), min_value=1, max_value=30, initial=10,
        help_text=_("As your tax law says, counted from the end of the last bill's year."),
    )  # fmt: skip
    sure = forms.BooleanField(
        label=_("Erase it. It cannot be brought back."),
        error_messages={"required": _("Tick this if you mean it; nothing is erased without it.")},
    )


@for_owner
@require_http_methods(["GET", "POST"])
def own_data(request, pk):
    """What is kept, the file to give to the client, and the form that erases."""
    client = get_object_or_404(Client.objects.visible_to(request.user), pk=pk)
    form = EraseForm(request.POST or None, person=request.user, subject=client)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: erase(client, request.user, form.cleaned_data["years"])):
            messages.success(request, _t("Erased. What the law keeps is named below."))
            return redirect("links:own_data", client.pk)
    return answer(request, "clientpage/own_data.html", {"client": client, "form": form, "found": summary(client)})


@for_owner
@require_safe
def own_data_zip(request, pk):
    client = get_object_or_404(Client.objects.visible_to(request.user), pk=pk)
    name = f"client-{client.pk}-{timezone.localdate()}.zip"
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "private, no-store"}
    return HttpResponse(as_zip(client), content_type="application/zip", headers=headers)
