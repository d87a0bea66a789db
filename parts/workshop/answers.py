"""The one shape of a view's answer: a full page, or for HTMX the piece that changed."""

from contextlib import contextmanager

from django.contrib.messages import get_messages
from django.db import transaction
from django.shortcuts import render
from django.template.loader import render_to_string

from .models import Once


def answer(request, page, context, fragment=None):
    """Render `page`, or `fragment` when HTMX asks for a part of it; what there is to say goes along with either."""
    partly = fragment and request.htmx and not request.htmx.boosted and not request.htmx.history_restore_request
    answered = render(request, fragment if partly else page, context)
    if partly and len(get_messages(request)) and b'id="words"' not in answered.content:
        answered.write(render_to_string("_messages.html", {"oob": True}, request))
    return answered


@contextmanager
def acting(request):
    """One transaction for a button's state change; spends the posted once-token.

    Raises AlreadyDone on a replay; the middleware tells the person.
    """
    with transaction.atomic():
        Once.spend(request.POST.get("once"), request.user)
        yield
