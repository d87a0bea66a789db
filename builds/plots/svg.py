"""A small SVG writer: shapes, labels and the frame that every picture shares.

Geometry and text sizes stand in presentation attributes, so that this module knows how much room a
label takes; colours come from classes in static/pictures.css, with `currentColor` where no class
speaks. `builds.plots.paper` turns a picture into one that needs no stylesheet.
"""

from html import escape

TEXT = 13
SMALL = 12
HEAD = 16
LINE = 1.25  # line height of stacked labels, in text sizes

# Advance widths in em, read off the widest of the sans-serif faces that browsers fall back to
# (DejaVu Sans), so that a label never takes more room than was set aside for it.
_WIDTHS = {
    0.29: "'ijlIJ|!",
    0.35: " .,·:;/f\\",
    0.41: "-t()r³²[]{}*",
    0.52: 'sz–°"_',
    0.58: "ckLF?",
    0.65: "vxyaoTYPeébdghnpquESK0123456789äöüßáàèçñ$€£μ",
    0.70: "AVBRXZC",
    0.79: "UHNDG&OQÄÖÜ",
    0.86: "wM×+→←=<>~≤≥",
    1.05: "%mW…œ@—",
}
_EM = {char: width for width, chars in _WIDTHS.items() for char in chars}
_BOLD = 1.17  # bold serif heads are wider


class Picture(str):
    """SVG text that a template may print as it stands: everything in it has been escaped."""

    __slots__ = ()

    def __html__(self):
        return self


def number(value):
    """A coordinate with at most two decimals and no trailing zeros.

    >>> number(3.0), number(2.256), number(-0.001)
    ('3', '2.26', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def shape(name, *inside, **attributes):
    """One element. Names lose a trailing underscore and turn the others to hyphens; None is left out.

    >>> shape("rect", width=2.50, class_="bar", stroke_width=None)
    '<rect width="2.5" class="bar"/>'
    """
    parts = [name]
    for key, value in attributes.items():
        if value is None:
            continue
        text = number(value) if isinstance(value, int | float) else escape(str(value))
        parts.append(f'{key.rstrip("_").replace("_", "-")}="{text}"')
    opening = " ".join(parts)
    return f"<{opening}>{''.join(inside)}</{name}>" if inside else f"<{opening}/>"


def label(x, y, text, *, size=TEXT, anchor=None, class_=None, head=False):
    """One line of text; (x, y) is its baseline's start, middle or end as `anchor` says."""
    weight = "600" if head else None
    class_ = " ".join(filter(None, (class_, "head" if head else None))) or None
    return shape("text", escape(text), x=x, y=y, font_size=size, text_anchor=anchor, font_weight=weight, class_=class_)


def stack(x, top, lines, *, anchor=None):
    """Lines of text under each other; `lines` as (text, size, class, head); the first one's top at `top`."""
    drawn = []
    for text, size, class_, head in lines:
        drawn.append(label(x, top + size, text, size=size, anchor=anchor, class_=class_, head=head))
        top += size * LINE
    return "".join(drawn)


def stack_height(lines):
    """Height of what `stack` draws."""
    return sum(size * LINE for _text, size, _class, _head in lines)


def picture(width, height, body, *, kind, title, desc, stretch=False):
    """The frame: an image with a name and a description for those who cannot see it."""
    about = shape("title", escape(title)) + (shape("desc", escape(desc)) if desc else "")
    return Picture(
        shape(
            "svg",
            about + body,
            xmlns="http://www.w3.org/2000/svg",
            class_=f"picture {kind}",
            viewBox=f"0 0 {number(width)} {number(height)}",
            preserveAspectRatio="none" if stretch else None,
            role="img",
        )
    )


def text_width(text, size=TEXT, head=False):
    """Room a line of text takes, px, on the safe side.

    >>> text_width("33.1 °C") > text_width("33.1")
    True
    """
    return size * sum(_EM.get(char, 0.8) for char in text) * (_BOLD if head else 1)


def shortened(text, width, size=TEXT, head=False):
    """The text, cut with an ellipsis where it would be wider than `width` px.

    >>> shortened("front radiator", 60)
    'front r…'
    """
    if text_width(text, size, head) <= width:
        return text
    while text and text_width(text + "…", size, head) > width:
        text = text[:-1].rstrip()
    return text + "…"


def wrapped(text, width, size=TEXT, head=False, most=2):
    """The text in at most `most` lines no wider than `width` px; what is left over ends in an ellipsis.

    >>> wrapped("front radiator, thick", 100)
    ['front radiator,', 'thick']
    """
    lines, words = [], text.split()
    while words and len(lines) < most - 1:
        taken = _that_fit(words, width, size, head)
        lines.append(shortened(" ".join(words[:taken]), width, size, head))
        words = words[taken:]
    if words:
        lines.append(shortened(" ".join(words), width, size, head))
    return lines


def _that_fit(words, width, size, head):
    taken = 1
    while taken < len(words) and text_width(" ".join(words[: taken + 1]), size, head) <= width:
        taken += 1
    return taken


def hexagon(x, y, radius, **attributes):
    """A fitting seen from its end: flat above and below, pointing along the tube."""
    half, rise = radius / 2, radius * 0.866
    corners = [(radius, 0), (half, rise), (-half, rise), (-radius, 0), (-half, -rise), (half, -rise)]
    points = " ".join(f"{number(x + dx)},{number(y + dy)}" for dx, dy in corners)
    return shape("polygon", points=points, **attributes)
