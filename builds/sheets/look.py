"""The workshop's look on documents: its logo, its two colours, and a small picture of a sheet that shows them."""

import hashlib
import io
import re
from base64 import b64encode

from django.utils.html import escape, format_html
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from parts.workshop.files import keep_file
from parts.workshop.photos import unpacked

EDGE = 900  # pixels; a logo stands 46 mm wide at most, so this prints at some 500 to the inch
COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
FITTING = (
    "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 32 28'%3E"
    "%3Cpath d='M32 14 24 28H8L0 14 8 0h16z' fill='%23{}'/%3E"
    "%3Ccircle cx='16' cy='14' r='5.5' fill='white'/%3E%3C/svg%3E"
)
PAPERS = {"a4": (210, 297), "letter": (216, 279)}  # ISO 216; 8.5 by 11 inches; millimetres


def clean_logo(data: bytes) -> bytes:
    """A logo made anew as a PNG that keeps its see-through ground; Refused for what is no picture or too large."""
    held = io.BytesIO()
    unpacked(data, EDGE, "logo").save(held, "PNG", optimize=True)
    return held.getvalue()


def keep_logo(png: bytes) -> str:
    """Store a clean logo under its hash, which is returned."""
    sha256 = hashlib.sha256(png).hexdigest()
    keep_file(f"logos/{sha256}.png", png)
    return sha256


def png_address(png: bytes) -> str:
    """A PNG as an address that fetches nothing; empty without one."""
    return f"data:image/png;base64,{b64encode(png).decode()}" if png else ""


def look_css(workshop):
    """Styles for a workshop's colours, laid over the sheets' own; nothing of what is no colour gets through."""
    tube, rule = (getattr(workshop, name, "") or "" for name in ("tube_colour", "rule_colour"))
    said = ""
    if COLOUR.fullmatch(tube):
        said += f".tube::before {{ background: {tube}; }}"
        said += f' .tube::after {{ background-image: url("{FITTING.format(tube[1:])}"); }}'
    if COLOUR.fullmatch(rule):
        said += f".sum .total :is(td, th) {{ border-top-color: {rule}; }} .remark {{ border-left-color: {rule}; }}"
        said += f" a {{ text-decoration-color: {rule}; }}"
    return "\n" + said


def small_sheet(workshop, png=None):
    """A small picture of a sheet with the workshop's name, logo, colours and paper: SVG, no styles inside.

    png: a clean logo that is being chosen, in place of the workshop's own; b"" for none.
    """
    width, height = PAPERS.get(workshop.paper, PAPERS["a4"])
    tube, rule = (
        c if COLOUR.fullmatch(c) else "#000000" for c in (workshop.tube_colour or "", workshop.rule_colour or "")
    )
    right, logo = width - 18, workshop.logo_data if png is None else png_address(png)
    pieces = [
        format_html('<rect width="{}" height="{}" fill="#ffffff" stroke="#6f7f78" stroke-width="0.5"/>', width, height),
        format_html('<text x="18" y="34" font-size="9" fill="#18211f">{}</text>', _("Quote Q-0001, issue 1")),
        format_html('<text x="{}" y="{}" font-size="5" text-anchor="end" fill="#18211f">{}</text>', right,
                    46 if logo else 34, workshop.name[:40]),
        format_html('<rect x="18" y="53" width="{}" height="1" fill="{}"/>', width - 36, tube),
        format_html('<path d="M24 53.5 22.2 56.6h-3.6L16.8 53.5l1.8-3.1h3.6z" fill="{}"/>', tube),
    ]  # fmt: skip
    if logo:
        place = '<image href="{}" x="{}" y="18" width="46" height="22" preserveAspectRatio="xMaxYMid meet"/>'
        pieces.append(format_html(place, logo, right - 46))
    for y in range(72, 152, 10):
        pieces.append(format_html('<path d="M18 {}H{}" stroke="#bccac3" stroke-width="0.4"/>', y, right))
    pieces.append(format_html('<path d="M{} 170H{}" stroke="{}" stroke-width="1"/>', right - 84, right, rule))
    pieces.append(format_html('<path d="M18 190V206" stroke="{}" stroke-width="1"/>', rule))
    label = escape(_("A small picture of a sheet with this look"))
    head = f'<svg class="small-sheet" viewBox="0 0 {width} {height}" role="img" aria-label="{label}">'
    return mark_safe(head + "".join(pieces) + "</svg>")  # each piece is escaped above
