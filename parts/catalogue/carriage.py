"""How a supplier sends a part: its class of carriage. What shares a class can share a consignment."""

from collections import Counter
from functools import cache

from django.utils.translation import gettext_lazy as _

from .headers import bare

# key: what is shown, and what lists write for it (lower case, commas between).
_CLASSES = {
    "letter": (_("letter"), "envelope, brief, lettre, carta, lettera"),
    "parcel": (_("parcel"), "packet, package, standard, paket, colis, paquete, pacco, pakket, pakke"),
    "bulky": (_("bulky parcel"), "bulky, oversize, oversized, bulky goods, sperrgut, sperrig, encombrant, voluminoso"),
    "pallet": (_("pallet"), "freight, palette, palet, spedition, forwarder"),
    "dangerous": (_("dangerous goods"), "dangerous, hazardous, hazmat, adr, gefahrgut, matières dangereuses"),
}
CARRIAGE = [(key, label) for key, (label, _words) in _CLASSES.items()]
# Classes for which a supplier's usual carriage seldom is enough (common practice).
DEARER = ("bulky", "pallet", "dangerous")


def consignments(classes):
    """[(class, its name, how many)] in the order of CARRIAGE, those that are not said first; none when none is said.

    >>> [(key, count) for key, _name, count in consignments(["bulky", "", "parcel", "parcel"])]
    [('', 1), ('parcel', 2), ('bulky', 1)]
    >>> consignments(["", ""])
    []
    """
    counts = Counter(classes)
    named = [("", _("as usual")), *CARRIAGE]
    return [(key, name, counts[key]) for key, name in named if counts[key]] if any(counts) else []


def rank(key):
    """For sorting: the lightest first, what is not said before all."""
    return [*dict(CARRIAGE)].index(key) if key else -1


def read_carriage(text):
    """The key of the class that a word names, "" when it names none.

    >>> read_carriage("Sperrgut"), read_carriage("bulky parcels"), read_carriage("by balloon")
    ('bulky', 'bulky', '')
    """
    word = bare(text)
    return _known().get(word) or _known().get(word.removesuffix("s"), "")


@cache
def _known():
    return {
        bare(word): key
        for key, (label, words) in _CLASSES.items()
        for word in (key, str(label), *words.split(","))
    }  # fmt: skip
