"""Pictures for paper: the colours written into the SVG, so that it stands alone in an `<img>`."""

from base64 import b64encode
from xml.etree import ElementTree

from .svg import Picture

INK, FAINT, RULE, LEAF = "#18211f", "#4d5b56", "#bccac3", "#eef2ef"
COPPER, RUST = "#9a4f26", "#9d2a1c"
FONT, HEAD_FONT = "Lato, DejaVu Sans, sans-serif", "Linux Libertine O, DejaVu Serif, serif"

# What static/pictures.css says for the screen, in the inks of static/sheet.css.
_COLOURS = {
    "pipe": {"stroke": RULE},
    "run": {"stroke": COPPER},
    "hex": {"stroke": RULE, "fill": "white"},
    "done": {"stroke": COPPER, "fill": COPPER},
    "here": {"stroke": COPPER, "fill": "white"},
    "all": {"fill": RULE},
    "used": {"fill": COPPER},
    "tube": {"stroke": COPPER},
    "body": {"fill": LEAF, "stroke": INK},
    "detail": {"stroke": INK},
    "grid": {"stroke": RULE},
    "axis": {"stroke": FAINT},
    "line": {"stroke": COPPER},
    "second": {"stroke": INK},
    "band": {"fill": COPPER},
    "point": {"stroke": INK, "fill": "white"},
    "limit": {"stroke": RUST},
    "moment": {"stroke": FAINT},
    "track": {"fill": LEAF},
    "bar": {"fill": COPPER},
    "over": {"fill": RUST},
    "behind": {"fill": "white"},
    "span": {"stroke": COPPER},
    "arrival": {"fill": COPPER, "stroke": COPPER},
    "late": {"fill": RUST, "stroke": RUST},
    "forecast": {"stroke": COPPER, "fill": "white"},
}
_WORDS = {"dim": FAINT, "coolant": COPPER, "late": RUST}
_SVG = "http://www.w3.org/2000/svg"


def for_paper(svg):
    """The same picture with its colours as presentation attributes and the document's fonts, no classes."""
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(svg)
    for element in root.iter():
        classes = element.attrib.pop("class", "").split()
        if element.tag == f"{{{_SVG}}}text":
            _write(element, classes)
        elif element is not root:
            _colour(element, classes)
    return Picture(ElementTree.tostring(root, encoding="unicode"))


def data_uri(svg):
    """A picture as the `src` of an `<img>` that fetches nothing."""
    return "data:image/svg+xml;base64," + b64encode(for_paper(svg).encode()).decode()


def _colour(element, classes):
    for name in classes:
        element.attrib.update(_COLOURS.get(name, {}))
    for key in ("fill", "stroke"):
        if element.get(key) == "currentColor":
            element.set(key, INK)


def _write(element, classes):
    element.set("font-family", HEAD_FONT if "head" in classes else FONT)
    element.set("fill", next((_WORDS[name] for name in classes if name in _WORDS), INK))
