"""Labels for shelf boxes and trays: a sheet of QR codes (ISO/IEC 18004) to print, cut and stick on."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from parts.shelf import labels
from parts.workshop.models import Workshop

from .render import render_pdf

TEMPLATE = "sheets/labels.html"
# A sheet holds 24 on A4; more than this are printed in turns.
MOST = 240


@dataclass(frozen=True)
class Label:
    """What stands on one label, and its code as a picture."""

    name: str
    kind: str
    code: str


def code(text):
    """A QR code as a data address of an SVG picture, with the quiet zone of four modules that the standard asks for.

    Error correction level M: about 15 % of it may be smeared.
    """
    import segno

    return segno.make(text, error="m", micro=False).svg_data_uri(border=4, scale=4, xmldecl=False, dark="#000")


def labels_pdf(places, trays, site):
    """PDF bytes of a label for each place and tray. site: where the workshop's book is reached, as in https://host."""
    wanted = [(labels.PLACE, place, _("place")) for place in places]
    wanted += [(labels.TRAY, tray, _("tray")) for tray in trays]
    made = [
        Label(row.name, word, code(site.rstrip("/") + labels.address(kind, row.pk)))
        for kind, row, word in wanted[:MOST]
    ]
    return render_pdf(TEMPLATE, {"title": _("Labels"), "workshop": Workshop.current(), "labels": made})
