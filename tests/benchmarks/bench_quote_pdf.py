"""How much the quote PDF's view adds to WeasyPrint's own time, and how long 500 lines take to price.

    .venv/bin/pytest -s --nomigrations tests/benchmarks/bench_quote_pdf.py

Printed, not asserted: the machine decides. Budget: the view below twice WeasyPrint alone on the same HTML.
"""

import statistics
import time
from decimal import Decimal as D

import pytest
from django.urls import reverse

from builds.quotes import paper
from builds.quotes.models import Issue, IssueLine
from builds.quotes.pricing import Rate, Taxed, line_amount, price_by_margin, total_up
from builds.sheets.render import html_to_pdf
from tests.quotes.conftest import draft, job, plan, shop, spec  # noqa: F401  (the fixtures of the quotes room)

ROUNDS = 7


def medians(*actions):
    """Median processor time [s] of each action; they take turns, so that a busy machine is fair to all."""
    spent = [[] for _action in actions]
    for action in actions:
        action()
    for _round in range(ROUNDS):
        for times, action in zip(spent, actions, strict=True):
            begun = time.process_time()
            action()
            times.append(time.process_time() - begun)
    return [statistics.median(times) for times in spent]


@pytest.mark.parametrize("lines", [30, 200])
def test_the_view_against_weasyprint_alone(draft, owner, owner_client, lines):  # noqa: F811
    for n in range(lines - draft.lines.count()):
        draft.add_line(
            owner, kind=IssueLine.OTHER, text=f"part {n}", remark="as agreed", quantity=D(n + 1), unit_price=D("12.35")
        )
    issue = Issue.objects.select_related("quote__job__client", "spec").get(pk=draft.pk)
    address = reverse("quotes:pdf", args=[issue.quote.job.number, issue.quote.number, issue.number])
    html = paper.html(issue, issue.figures())
    alone, whole = medians(lambda: html_to_pdf(html), lambda: owner_client.get(address))
    print(f"\nquote of {lines} lines: WeasyPrint alone {alone * 1000:.0f} ms, view {whole * 1000:.0f} ms")
    print(f"ratio {whole / alone:.2f}")


def test_pricing_of_five_hundred_lines():
    rates = [Rate("S", D(20)), Rate("S", D(5)), Rate("Z")]

    def price():
        lines = [
            Taxed(line_amount(D(n + 1), price_by_margin(D("13.37") + n, D(15), "EUR"), "EUR"), rates[n % 3])
            for n in range(500)
        ]
        total_up(lines, "EUR")

    print(f"\n500 lines priced and summed: {medians(price)[0] * 1000:.1f} ms")
