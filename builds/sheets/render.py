"""A template rendered to a tagged PDF. Nothing is fetched from network or disk but our own styles and fonts."""

import os
from functools import cache
from pathlib import Path

from django.conf import settings
from django.template.loader import render_to_string

from .look import look_css

# Documents that are rendered twice must be the same bytes; the date they bear stands in their text.
os.environ.setdefault("SOURCE_DATE_EPOCH", "1767225600")


@cache
def _sheet_css():
    return (Path(settings.BASE_DIR) / "static" / "sheet.css").read_text()


def render_html(template, context):
    """The finished HTML of a document, styles inside; context may hold a `workshop`."""
    look = look_css(context.get("workshop"))
    return render_to_string(template, {**context, "sheet_css": _sheet_css() + look})


def render_pdf(template, context):
    """PDF/UA-1 bytes of a document template."""
    return html_to_pdf(render_html(template, context))


def html_to_pdf(html):
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher

    return HTML(string=html, url_fetcher=URLFetcher(allowed_protocols={"data"})).write_pdf(
        pdf_variant="pdf/ua-1", optimize_images=True, jpeg_quality=80, dpi=200
    )
