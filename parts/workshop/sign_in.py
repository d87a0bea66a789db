"""The door of the workshop: sign in, with a limit to guessing; sign out, leaving nothing on a shared phone."""

import logging
import math
import secrets
from datetime import timedelta

from django.conf import settings
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.core import signing
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from .access import address_of
from .tries import Held, SignInTry, account_key

KNOWN_FOR = timedelta(days=365)
SALT = "loopwright.known-browser"
log = logging.getLogger("django.security.sign_in")


def _cookie(name):
    return f"known-{account_key(name)[:16]}"


def known_browser(request, name):
    """The mark of a browser that signed in to this account before; empty for a stranger's, an old or a forged one."""
    try:
        said = signing.loads(request.COOKIES.get(_cookie(name), ""), salt=SALT, max_age=KNOWN_FOR)
    except signing.BadSignature:
        return ""
    return said["browser"] if said["account"] == account_key(name) else ""


def remember_browser(response, name):
    """Let this browser be known to the account from now on; the cookie opens nothing by itself."""
    said = {"account": account_key(name), "browser": secrets.token_hex(16)}
    response.set_cookie(
        _cookie(name), signing.dumps(said, salt=SALT), max_age=KNOWN_FOR, path=reverse("login"), httponly=True,
        secure=settings.TLS, samesite="Lax",
    )  # fmt: skip


def minutes(wait):
    """A wait in whole minutes, at least one, as text."""
    count = max(1, math.ceil(wait.total_seconds() / 60))
    return ngettext("%(count)d minute", "%(count)d minutes", count) % {"count": count}


class SignInForm(AuthenticationForm):
    held = None  # how long to wait, when the password was not even looked at
    error_messages = {
        "invalid_login": gettext_lazy("Name and password do not belong together; mind capital letters."),
        "inactive": gettext_lazy("This account may no longer sign in."),
    }

    def clean(self):
        if not {"username", "password"} <= self.cleaned_data.keys():
            return self.cleaned_data  # a field was left empty: nothing is tried
        name = self.cleaned_data["username"]
        address = address_of(self.request)
        try:
            attempt = SignInTry.begin(name, address, known_browser(self.request, name))
        except Held as held:
            self.held = held.wait
            log.warning("sign-in held after too many wrong tries, from %s", address)
            raise ValidationError(
                _("Too many wrong tries. Wait %(minutes)s, then try again; nobody is shut out for longer.")
                % {"minutes": minutes(held.wait)}
            ) from None
        try:
            said = super().clean()
        except ValidationError as error:
            raise ValidationError([*error.messages, self._how_many(attempt)]) from None
        attempt.was_right()
        return said

    @staticmethod
    def _how_many(attempt):
        left = attempt.left()
        if not left:
            wait = minutes(attempt.wait(more=1))
            return _("That was the last try for now: wait %(minutes)s before the next.") % {"minutes": wait}
        return ngettext(
            "%(left)d more try, then a short wait.", "%(left)d more tries, then a short wait.", left
        ) % {"left": left}  # fmt: skip


class SignIn(LoginView):
    form_class = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form):
        response = super().form_valid(form)
        remember_browser(response, form.cleaned_data["username"])
        return response

    def form_invalid(self, form):
        response = super().form_invalid(form)
        if form.held:
            response.status_code = 429
            response["Retry-After"] = math.ceil(form.held.total_seconds())
        return response


class SignOut(LogoutView):
    def dispatch(self, request, *args, **kwargs):
        """What the browser kept of pages goes too; the next on a shared phone finds no prices."""
        response = super().dispatch(request, *args, **kwargs)
        if request.method == "POST":
            response["Clear-Site-Data"] = '"cache", "storage"'
        return response
