from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from .access import for_owner, for_workshop
from .answers import answer
from .models import Person, TaxRule, Workshop
from .photos import Photo
from .settings_forms import PersonForm, TaxRuleForm, WorkshopForm


@for_owner
@require_http_methods(["GET", "POST"])
def settings(request):
    """What stands on documents, and the numbers that new jobs and quotes start from."""
    form = WorkshopForm(request.POST or None, instance=Workshop.current(), person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        messages.success(request, _("The settings are saved."))
        return redirect("workshop:settings")
    return answer(request, "workshop/settings.html", {"form": form})


@for_owner
@require_safe
def people(request):
    return answer(request, "workshop/people.html", {"people": Person.objects.order_by("-is_active", "username")})


@for_owner
@require_http_methods(["GET", "POST"])
def edit_person(request, pk=None):
    """Add somebody, change their role, let them in no longer, or give them a new password."""
    somebody = get_object_or_404(Person, pk=pk) if pk else None
    form = PersonForm(request.POST or None, instance=somebody, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        if somebody == request.user:
            update_session_auth_hash(request, form.instance)
        return redirect("workshop:people")
    return answer(request, "workshop/edit_person.html", {"form": form, "somebody": somebody})


@for_owner
@require_safe
def tax(request):
    context = {"rules": TaxRule.objects.all(), "today": TaxRule.on(timezone.localdate())}
    return answer(request, "workshop/tax.html", context)


@for_owner
@require_http_methods(["GET", "POST"])
def edit_tax(request, pk=None):
    """Add a rate of tax with the days it holds, or change one; a changed rate touches no document that was sent."""
    rule = get_object_or_404(TaxRule, pk=pk) if pk else None
    form = TaxRuleForm(request.POST or None, instance=rule, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("workshop:tax")
    return answer(request, "workshop/edit_tax.html", {"form": form, "rule": rule})


@for_workshop
@require_safe
def photo(request, pk, small=False):
    """A photo's JPEG, for those who may see it; it never changes, so the browser may keep it."""
    found = get_object_or_404(Photo.objects.visible_to(request.user), pk=pk)
    headers = {"Cache-Control": "private, max-age=31536000, immutable", "Content-Disposition": "inline"}
    return HttpResponse(found.read(small), content_type="image/jpeg", headers=headers)
