from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.workshop.access import for_owner
from parts.workshop.answers import answer
from parts.workshop.models import Workshop
from parts.workshop.photos import MOST_BYTES
from parts.workshop.refusal import Refused

from .forms import LookForm
from .look import clean_logo, small_sheet
from .models import Document
from .render import render_pdf


@for_owner
@require_safe
def download(request, pk):
    """A frozen document, byte for byte."""
    document = get_object_or_404(Document, pk=pk)
    return HttpResponse(
        document.read(),
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{document.file_name}"'},
    )


@for_owner
@require_http_methods(["GET", "POST"])
def look(request):
    """Logo, colours and paper of all documents, with a small sheet that shows them as they are chosen."""
    form = LookForm(request.POST or None, request.FILES or None, instance=Workshop.current(), person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        messages.success(request, _("Documents made from now on have this look; those that were sent keep theirs."))
        return redirect("sheets:look")
    return answer(request, "sheets/look.html", {"form": form, "sheet": small_sheet(Workshop.current())})


@for_owner
@require_POST
def look_preview(request):
    """The small sheet with logo, colours and paper as they are being chosen; nothing is kept."""
    shop, sent = Workshop.current(), request.FILES.get("logo")
    for name in ("tube_colour", "rule_colour", "paper"):
        setattr(shop, name, request.POST.get(name, "")[:7])
    logo, said = b"" if "without_logo" in request.POST else None, ""
    try:
        logo = clean_logo(sent.read(MOST_BYTES + 1)) if sent else logo
    except Refused as refused:
        said = format_html('<p class="word error">{}</p>', refused.message)
    return HttpResponse(said + small_sheet(shop, logo))


@for_owner
@require_safe
def sample(request):
    """A sheet in the saved look, as it prints."""
    context = {"title": _("Sample sheet"), "workshop": Workshop.current()}
    headers = {"Content-Disposition": 'inline; filename="sample.pdf"'}
    return HttpResponse(render_pdf("sheets/sample.html", context), content_type="application/pdf", headers=headers)
