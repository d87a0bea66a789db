"""The one shape of a view's answer: a full page, or for HTMX the piece that changed."""

from contextlib import contextmanager

from django.db import transaction
from django.shortcuts import render

from .models import Once


def answer(request, page, context, fragment=None):
    """Render `page`, or `fragment` when HTMX asks for a part of it."""
    partly = fragment and request.htmx and not request.htmx.boosted and not request.htmx.history_restore_request
    return render(request, fragment if partly else page, context)


@contextmanager
def acting(request):
    """One transaction for a button's state change; spends the posted once-token.

    Raises AlreadyDone on a replay; the middleware tells the person.
    """
    with transaction.atomic():
        Once.spend(request.POST.get("once"), request.user)
        yield
