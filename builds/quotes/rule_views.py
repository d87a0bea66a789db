"""The workshop's price rules: by kind of part, by supplier."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.workshop import audit
from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer

from .forms import PriceRuleForm
from .rules import PriceRule


@for_owner
@require_safe
def rules(request):
    return answer(request, "quotes/rules.html", {"rules": PriceRule.objects.select_related("supplier")})


@for_owner
@require_http_methods(["GET", "POST"])
def edit_rule(request, pk=None):
    """Add a rule or change one; quotes laid out before keep what they were laid out with."""
    rule = get_object_or_404(PriceRule, pk=pk) if pk else None
    form = PriceRuleForm(request.POST or None, instance=rule, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("quotes:rules")
    return answer(request, "quotes/edit_rule.html", {"form": form, "rule": rule})


@for_owner
@require_POST
def remove_rule(request, pk):
    rule = get_object_or_404(PriceRule, pk=pk)
    with acting(request):
        audit.record(request.user, "removed", f"price rule {pk}", {"rule": str(rule)})
        rule.delete()
        messages.success(request, _("The rule is taken away; drafts laid out from now on go without it."))
    return redirect("quotes:rules")
