from datetime import date, timedelta

import pytest

from builds.plots.ribbon import KINDS, Happening, ribbon
from tests.plots.reading import SVG, boxes, labels, meeting, outside, parsed

TODAY = date(2026, 11, 25)


def crowded(count):
    """Many happenings within a few days, as orders placed on one evening arrive."""
    return [
        Happening(TODAY + timedelta(days=i % 5), f"part {i} of a long name", KINDS[i % 5],
                  until=TODAY + timedelta(days=i % 5 + 9) if KINDS[i % 5] == "forecast" else None)
        for i in range(count)
    ]  # fmt: skip


@pytest.mark.parametrize("width", [352, 760])
@pytest.mark.parametrize("count", [0, 1, 6, 30])
def test_words_never_meet(count, width):
    svg = ribbon("arrivals", crowded(count), TODAY, width=width)
    assert not meeting(labels(svg))
    assert not outside(svg)


def test_days_stand_in_their_order_on_one_scale():
    days = [TODAY + timedelta(days=n) for n in (0, 10, 40)]
    svg = ribbon("t", [Happening(day, "x") for day in days], TODAY)
    signs = [e for e in parsed(svg).iter(f"{SVG}polygon") if "sign" in e.get("class")]
    xs = sorted(float(e.get("points").split(",")[0]) for e in signs)
    assert xs[1] - xs[0] == pytest.approx((xs[2] - xs[0]) / 4, abs=0.1)


def test_a_late_arrival_differs_by_shape():
    late, due = (ribbon("t", [Happening(TODAY, "pump", kind)], TODAY) for kind in ("late", "arrival"))
    assert late.count('class="sign late"') == due.count('class="sign arrival"') + 1


def test_a_stretch_of_days_is_drawn_from_end_to_end():
    svg = ribbon("t", [Happening(TODAY, "forecast", "forecast", TODAY + timedelta(days=7))], TODAY)
    assert any(e.get("class") == "span" for e in parsed(svg).iter(f"{SVG}path"))


def test_dates_are_written_as_the_caller_wants():
    svg = ribbon("t", [], TODAY, day_text=lambda day: day.isoformat(), today_text="heute")
    written = [text for text, *_box in labels(svg)]
    assert written[0] == "heute"
    assert "2026-11-30" in written


def test_two_years_show_months():
    svg = ribbon("t", [Happening(TODAY + timedelta(days=700), "service due", "other")], TODAY)
    assert not meeting(labels(svg))
    assert any(text.startswith("1 ") for text, *_box in labels(svg))


def test_words_have_a_ground_of_their_own():
    svg = ribbon("t", crowded(3), TODAY)
    assert len(boxes(svg, "behind")) == 3
