"""Reads a picture back: its labels and shapes as boxes in px."""

from xml.etree import ElementTree

from builds.plots.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"


def parsed(svg):
    return ElementTree.fromstring(svg)


def labels(svg):
    """(text, left, top, right, bottom) of each label."""
    return [_label(element) for element in parsed(svg).iter(f"{SVG}text")]


def _label(element):
    size, x, y = (float(element.get(key)) for key in ("font-size", "x", "y"))
    width = text_width(element.text, size, head=element.get("font-weight") is not None)
    left = x - {"middle": width / 2, "end": width}.get(element.get("text-anchor"), 0)
    return element.text, left, y - 0.8 * size, left + width, y + 0.2 * size


def boxes(svg, class_):
    """(class, left, top, right, bottom) of each rectangle that has the class."""
    found = [e for e in parsed(svg).iter(f"{SVG}rect") if class_ in e.get("class", "").split()]
    sides = [[float(e.get(k, 0)) for k in ("x", "y", "width", "height")] for e in found]
    return [(class_, x, y, x + width, y + height) for x, y, width, height in sides]


def meeting(found):
    """Pairs of boxes that overlap."""
    pairs = [(a, b) for i, a in enumerate(found) for b in found[i + 1 :]]
    return [(a, b) for a, b in pairs if a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4]]


def outside(svg):
    """Labels that leave the picture."""
    _x, _y, width, height = map(float, parsed(svg).get("viewBox").split())
    return [b for b in labels(svg) if b[1] < -0.5 or b[2] < 0 or b[3] > width + 0.5 or b[4] > height]
