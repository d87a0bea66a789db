"""What a machine wants done after hand-over, and when. Intervals are common practice; the coolant's own go first."""

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.shelf.models import months_later

CLEAR_MONTHS, CLOUDED_MONTHS = 12, 6
CHECK_MONTHS = 6
DUST_MONTHS = (3, 6, 9, 12)

HOW = (
    (gettext_lazy("Dust"), gettext_lazy(
        "Every three months: off and unplugged, hold the fans still, blow the radiators out from the side the air "
        "leaves, wash the filters and dry them.")),
    (gettext_lazy("A look at the loop"), gettext_lazy(
        "Every six months: level at its mark, no drop or white edge at any joint, tubes clear, no flakes, no slime, no "
        "change of colour; listen to the pump.")),
    (gettext_lazy("Topping up"), gettext_lazy(
        "Off and unplugged, with the same coolant only; never tap water, never two coolants mixed. More than a little "
        "each half year is a leak: ask us.")),
    (gettext_lazy("Changing the coolant"), gettext_lazy(
        "By the date below, by us or somebody who does this for a living: drain, rinse, look over, fill, bleed, and "
        "test again for leaks.")),
    (gettext_lazy("Moving it"), gettext_lazy(
        "Upright and not frozen; for a carrier drained, unless we packed it filled. Afterwards level it, look for "
        "drops and leave it an hour before switching on.")),
)  # fmt: skip

FILL_STEPS = (
    gettext_lazy("Mains off and unplugged. Pull every board, graphics, drive and fan connector; feed the pump alone, "
                 "from a supply of its own."),
    gettext_lazy("Look at every joint and lay dry paper under each. Gloves on; the coolant's safety data sheet at "
                 "hand."),
    gettext_lazy("Fill slowly to the mark. Start and stop the pump until it runs full; never let it run dry."),
    gettext_lazy("Tilt the machine to each side and top up until no bubbles return."),
    gettext_lazy("Let it run so for a day. One drop on the paper: stop, drain, and ask us."),
    gettext_lazy("Dry after a day: top up, close, connect everything as the photos and labels show, and only then "
                 "mains."),
)  # fmt: skip


@dataclass(frozen=True)
class Care:
    """Something to do by a day, and why then."""

    due: date
    what: str
    why: str
    months: int | None = None  # comes again so long after it was done


def coolant_months(life, appearance):
    """Months until the coolant is changed: as its facts say, else 12, or 6 when dyed or opaque (common practice).

    >>> coolant_months(None, "clear"), coolant_months(None, "opaque"), coolant_months(24.0, "dyed")
    (12, 6, 24)
    """
    if life:
        return int(life)
    return CLOUDED_MONTHS if appearance in ("dyed", "opaque") else CLEAR_MONTHS


def care_dates(on, *, has_loop, filled=True, life=None, appearance=None):
    """Every date of the first stretch after hand-over, sorted: a tuple of Care.

    on: day of hand-over. life: the coolant's own months, if its facts say. appearance: clear, dyed or opaque.
    """
    practice = _("common practice")
    dust = _("clean dust from radiators, fans and filters")
    found = [Care(months_later(on, n), dust, practice, DUST_MONTHS[-1]) for n in DUST_MONTHS]
    if has_loop:
        months = coolant_months(life, appearance)
        why = _("as the coolant’s facts say") if life else practice
        found.append(Care(months_later(on, months), _("change the coolant"), why, months))
        found.append(
            Care(
                months_later(on, CHECK_MONTHS),
                _("look the loop over: level, joints, tubes, pump"),
                practice,
                CHECK_MONTHS,
            )
        )
        if not filled:
            found.append(Care(on, _("fill and bleed before the first switch-on, by the fill sheet"), _("left drained")))
    return tuple(sorted(found, key=lambda care: (care.due, care.what)))
