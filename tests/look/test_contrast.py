"""Colours of the screen and of paper against WCAG 2.2: 1.4.3 text 4.5 to 1, 1.4.11 signs and edges 3 to 1."""

import re
from pathlib import Path

import pytest
from django.conf import settings

from builds.plots import paper

STATIC = Path(settings.BASE_DIR) / "static"
WORDS = ("ink", "faint", "verdigris", "rust", "ochre", "copper")
SIGNS = ("edge", "copper", "rust", "verdigris")
INKS_OF_PAPER = ("INK", "FAINT", "COPPER", "RUST")


def tokens():
    """{theme: {name: colour}} from the custom properties of book.css."""
    found = re.findall(r"--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)", (STATIC / "book.css").read_text())
    return {theme: {name: pair[i] for name, *pair in found} for i, theme in enumerate(("light", "dark"))}


def luminance(colour):
    """Relative luminance as WCAG 2.2 defines it."""
    shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_measure_itself():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)  # W3C's well-known limit grey


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "leaf"])
@pytest.mark.parametrize("word", WORDS)
def test_words_can_be_read(theme, ground, word):
    colours = tokens()[theme]
    assert contrast(colours[word], colours[ground]) >= 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("button", ["verdigris", "rust", "ink"])
def test_words_on_what_can_be_pressed(theme, button):
    colours = tokens()[theme]
    assert contrast(colours["paper"], colours[button]) >= 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("sign", SIGNS)
def test_edges_and_lines_can_be_seen(theme, sign):
    colours = tokens()[theme]
    assert min(contrast(colours[sign], colours[ground]) for ground in ("paper", "leaf")) >= 3


@pytest.mark.parametrize("name", INKS_OF_PAPER)
def test_inks_on_white_paper(name):
    assert contrast(getattr(paper, name), "#ffffff") >= 4.5


def test_old_browsers_get_the_light_theme_unchanged():
    fallback = (STATIC / "book.css").read_text().split("@supports not")[1].split("}")[0]
    assert dict(re.findall(r"--([\w-]+): (#\w{6})", fallback)) == tokens()["light"]


def test_colours_of_paper_are_those_of_the_screen():
    light = tokens()["light"]
    assert [getattr(paper, name) for name in INKS_OF_PAPER] == [light[name.lower()] for name in INKS_OF_PAPER]


def test_documents_use_no_ink_that_is_too_faint():
    inks = set(re.findall(r"(?<![-\w])color: (#\w{6})", (STATIC / "sheet.css").read_text()))
    assert len(inks) > 2
    for colour in inks:
        assert contrast(colour, "#ffffff") >= 4.5, colour
