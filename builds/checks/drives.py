"""Drives: places that are left, heights, and what they lie on."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule

RULE = Rule("drives", _l("places for drives"), _l("SFF-8201 for heights (from memory); common practice"))
# 2.5-inch drives come in these heights, mm.
HEIGHTS = (5.0, 7.0, 9.5, 12.5, 15.0, 19.0)
FORMS = (("3.5-inch", "drives_35"), ("2.5-inch", "drives_25"))


def check(build):
    cases, drives = build.of_kind("case"), build.of_kind("drive")
    if len(cases) != 1 or not drives:
        return []
    case = cases[0]
    found = [f for drive in drives for f in RULE.unless_known(drive, "form")]
    for form, fact in FORMS:
        here = [drive for drive in drives if drive.text("form") == form]
        if here:
            found += _places(build, case, form, fact, here)
    for drive in drives:
        if drive.text("form") == "2.5-inch":
            found += _height(case, drive)
    return found + _bare(case, [drive for drive in drives if drive.text("form") in {"2.5-inch", "3.5-inch"}])


def _cage_out(build, case):
    at = case.text("cage_at")
    return bool(at) and any(step.place == at for _loop, step, line in build.steps() if line.kind == "radiator")


def _places(build, case, form, fact, here):
    out = _cage_out(build, case)
    fact = f"{fact}_left" if out else fact
    count, places = sum(drive.quantity for drive in here), case.number(fact)
    if places is None:
        return [RULE.missing(case, fact)]
    if count <= places:
        return []
    words = {"count": count, "form": form, "places": places, "case": case.part}
    said = _("%(count)d drives of %(form)s for %(places)d places in %(case)s.") % words
    if out:
        said = _("%(count)d drives of %(form)s for %(places)d places left in %(case)s once its cage is out.") % words
    action = _("Count the places that are left once cages come out, or add a bracket.")
    return [RULE.stop(said, action, *here, case, drives=count, places=places)]


def _height(case, drive):
    unknown = [*RULE.unless_known(drive, "height"), *RULE.unless_known(case, "drive_height")]
    tall, most = drive.number("height"), case.number("drive_height")
    words = {"drive": drive.part, "tall": f"{tall or 0:g}", "case": case.part, "most": f"{most or 0:g}"}
    if tall is not None and not any(abs(tall - one) <= 0.2 for one in HEIGHTS):
        said = _("%(drive)s is %(tall)s mm high, which is no height that 2.5-inch drives come in.") % words
        unknown.append(RULE.caution(said, _("Measure it; 7, 9.5 and 15 mm are usual."), drive, height_mm=tall))
    if None not in (tall, most) and tall > most:
        said = _("%(drive)s is %(tall)s mm high; a place in %(case)s takes %(most)s mm.") % words
        unknown.append(RULE.stop(said, _("Choose a lower drive."), drive, case, height_mm=tall, most_mm=most))
    return unknown


def _bare(case, drives):
    if not drives or not case.yes("drives_on_metal"):
        return []
    said = _("Drives lie on bare metal in %(case)s.") % {"case": case.part}
    return [RULE.note(said, _("Put washers that do not conduct under them."), case, *drives)]
