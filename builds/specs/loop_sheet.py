"""The loop sheet: the loop page on paper, its pictures as images that need no stylesheet."""

from dataclasses import replace

from django.utils import timezone
from django.utils.translation import gettext as _

from builds.plots.paper import data_uri


def sheet_facts(job, workshop):
    """What the head of the sheet says."""
    return {"title": _("Loop of %(job)s") % {"job": job}, "workshop": workshop, "today": timezone.localdate()}


def on_paper(context):
    """The context with every picture as the `src` of an image."""
    loops = [
        replace(
            loop, wide=_image(loop.wide), fans=_image(loop.fans), heats=_image(loop.heats), pump=_image(loop.pump),
            air=[(name, _image(picture)) for name, picture in loop.air],
        )
        for loop in context["loops"]
    ]  # fmt: skip
    return {**context, "loops": loops}


def _image(picture):
    return data_uri(picture) if picture else ""
