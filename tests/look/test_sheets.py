"""The common base of all documents: tagged, named, on the workshop's paper, the same bytes each time."""

import io
import logging
from types import SimpleNamespace

import pikepdf
import pytest

from builds.plots.gauge import stage_gauge
from builds.plots.paper import data_uri
from builds.sheets.render import html_to_pdf, render_html

# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 inch
PAPERS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}


def html_of(paper, **context):
    workshop = SimpleNamespace(name="Ropewalk & Daughter", address="Harbour Lane 4", paper=paper)
    return render_html("sheets/base.html", {"title": "Quote Q-0052, issue 2", "workshop": workshop, **context})


def with_body(html, body):
    return html.replace("<main>", f"<main>{body}")


def opened(html):
    return pikepdf.open(io.BytesIO(html_to_pdf(html)))


@pytest.mark.parametrize("paper", PAPERS)
def test_document_lies_on_the_workshops_paper(paper):
    with opened(html_of(paper)) as pdf:
        assert [float(side) for side in pdf.pages[0].MediaBox[2:]] == pytest.approx(PAPERS[paper], abs=0.5)


def test_document_is_tagged_and_named():
    with opened(html_of("a4")) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang).startswith("en")
        assert pdf.docinfo["/Title"] == "Quote Q-0052, issue 2"
        assert pdf.open_metadata()["pdfuaid:part"] == "1"


def test_names_are_escaped():
    assert "Ropewalk &amp; Daughter" in html_of("a4")


def test_long_tables_repeat_their_head_and_count_pages():
    rows = "".join(f"<tr><td>part {i}</td><td class='n'>1</td></tr>" for i in range(120))
    table = f"<table><thead><tr><th>part</th><th class='n'>count</th></tr></thead><tbody>{rows}</tbody></table>"
    with opened(with_body(html_of("a4"), table)) as pdf:
        assert len(pdf.pages) > 2


def test_pictures_need_nothing_from_outside(caplog):
    figure = f'<figure><img src="{data_uri(stage_gauge(4, 7, "stage 4"))}" alt="stage 4 of 7"></figure>'
    with caplog.at_level(logging.WARNING):
        html_to_pdf(with_body(html_of("a4"), figure))
    assert not caplog.records


def test_same_document_same_bytes():
    html = html_of("a4", state="draft")
    assert html_to_pdf(html) == html_to_pdf(html)
