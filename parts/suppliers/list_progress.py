"""A long list looked through while its page is being sent: the page says how far it is, with no script."""

from django.http import StreamingHttpResponse
from django.template.loader import render_to_string

LONG = 1000  # rows from which the progress is worth a word
HERE = "here-come-the-rows"


def is_long(draft):
    return len(draft.rows) > LONG


def stream(request, draft, steps, looked):
    """The preview's page, sent in pieces: its head at once, a word after each step, then the rows, then its foot.

    steps: a generator of (rows done, rows in all) that returns the Reading. looked: what makes the page's context
    of a Reading. The frame is made before anything is sent, so that messages and session are as on any page.
    """
    frame = render_to_string("catalogue/import_preview.html", {"draft": draft, "here": HERE}, request)
    head, foot = frame.split(HERE)

    def pieces():
        yield head
        reading = yield from _words(steps)
        yield render_to_string("catalogue/_preview.html", looked(reading), request)
        yield foot

    return StreamingHttpResponse(pieces(), headers={"X-Accel-Buffering": "no"})


def _words(steps):
    while True:
        try:
            done, total = next(steps)
        except StopIteration as end:
            return end.value
        yield render_to_string("catalogue/_checking.html", {"done": done, "total": total})
