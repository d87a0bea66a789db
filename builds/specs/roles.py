"""What roles are called: words that a builder would use, numbered when a kind comes several times."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from parts.kinds import get_kind

SUGGESTED = {
    "radiator": (_l("front radiator"), _l("top radiator"), _l("bottom radiator"), _l("side radiator")),
    "fan": (_l("front fans"), _l("top fans"), _l("case fans")),
    "graphics": (_l("graphics board"), _l("second graphics board")),
    "graphics_block": (_l("graphics block"), _l("second graphics block")),
    "drive": (_l("system drive"), _l("data drive")),
    "fitting": (_l("straight fittings"), _l("angle fittings"), _l("drain valve"), _l("plugs")),
}


def suggestions(kind):
    """Names to offer for a role of this kind.

    >>> [str(name) for name in suggestions("graphics")]
    ['graphics board', 'second graphics board']
    """
    return SUGGESTED.get(kind) or (get_kind(kind).label,)


def next_name(kind, taken):
    """A name for one more role of this kind that is not taken yet.

    >>> next_name("pump", set()), next_name("pump", {"Pump", "pump 2"})
    ('pump', 'pump 3')
    """
    used = {name.casefold() for name in taken}
    for name in map(str, suggestions(kind)):
        if name.casefold() not in used:
            return name
    return numbered(str(get_kind(kind).label), used)


def numbered(label, used):
    """The label with the lowest number from 2 that is free among the (casefolded) names used."""
    n = 2
    while f"{label} {n}".casefold() in used:
        n += 1
    return f"{label} {n}"


def names_for_rows(kinds, taken):
    """A name for each part of a list: the kind's label, numbered from 1 where a kind comes several times.

    >>> names_for_rows(["pump", "radiator", "radiator"], {"radiator 1"})
    ['pump', 'radiator 2', 'radiator 3']
    """
    used, names = {name.casefold() for name in taken}, []
    for kind in kinds:
        label, n = str(get_kind(kind).label), 1
        alone = kinds.count(kind) == 1
        while (name := label if alone and n == 1 else f"{label} {n}").casefold() in used:
            n += 1
        used.add(name.casefold())
        names.append(name)
    return names


def said_kind(kind):
    """The kind's word, for a sentence."""
    return str(get_kind(kind).label) if kind else _("part")
