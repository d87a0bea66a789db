"""A soak log drawn: each temperature over the room through the test, with the range foretold."""

from django.utils.translation import gettext as _

from builds.plots.chart import Axis, Band, Line, Moment, chart
from builds.plots.paper import data_uri

from .soak import COOLANT


def log_pictures(log, comparison=(), on_paper=False):
    """[{name, picture, words}] of a SoakLog's lines, the room's last.

    comparison: rows of the trial (builds/proving/pictures.py), for the range foretold. on_paper: pictures as the
    `src` of an image that needs no stylesheet.
    """
    ranges = {row["name"]: row for row in comparison}
    found = []
    for line in log.lines:
        if not line["points"]:
            continue
        drawn = _drawn(line, ranges.get(line["reading"]), log.window)
        drawn["picture"] = data_uri(drawn["picture"]) if on_paper else drawn["picture"]
        found.append(drawn)
    return found


def _drawn(line, foretold, window):
    first, last = line["points"][0], line["points"][-1]
    is_room = line["name"] == "room"
    unit = "°C" if is_room else "K"
    name = _("room") if is_room else _("coolant") if line["name"] == COOLANT else line["name"]
    marks = [Line(tuple(map(tuple, line["points"])), _("measured"))]
    words = _("from %(first).1f to %(last).1f %(unit)s in %(min).0f min, highest %(high).1f %(unit)s") % {
        "first": first[1], "last": last[1], "min": last[0], "unit": unit, "high": max(v for _t, v in line["points"]),
    }  # fmt: skip
    if foretold:
        low, high = foretold["low"], foretold["high"]
        marks.insert(0, Band(((first[0], low, high), (last[0], low, high)), _("foretold")))
        words += "; " + _("foretold %(low).1f–%(high).1f K") % {"low": low, "high": high}
    if window and not is_room:
        marks.append(Moment(window[0], _("judged from here")))
    title = _("%(name)s through the soak") % {"name": name}
    values = [value for _minute, value in line["points"]]
    if is_room:  # its small scatter is not blown up
        axis = Axis(_("room, °C"), min(values) - 1.0, max(values) + 1.0)
    else:
        axis = Axis(_("%(name)s over the room, K") % {"name": name})
    return {"name": name, "words": words,
            "picture": chart(title, marks, Axis(_("minutes")), axis, desc=words, width=480, height=220)}  # fmt: skip
