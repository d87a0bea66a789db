"""What a label's code says: the address of a place or tray, so that any phone opens it, and goods in reads it."""

import re

from django.urls import reverse

PLACE, TRAY = "place", "tray"
_ADDRESS = re.compile(r"/shelf/at/(place|tray)/(\d{1,12})/?$")


def address(kind, pk):
    """The path that a label of a place or tray leads to."""
    return reverse("shelf:at", args=[kind, pk])


def read(text):
    """(kind, pk) of a scanned or typed label, or None for any other text.

    >>> read("https://bench.example/shelf/at/place/12/"), read("box 3")
    (('place', 12), None)
    """
    found = _ADDRESS.search(text.strip())
    return (found[1], int(found[2])) if found else None
