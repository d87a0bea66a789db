"""Which kind a word in somebody's parts list means."""

import difflib
from functools import cache

from .base import all_kinds


def find_kind(text):
    """The kind that a word names, in any case, singular or plural; None when no kind is known by it.

    >>> find_kind("Radiators").key, find_kind("GPU-block").key, find_kind("Lüfter").key, find_kind("sofa")
    ('radiator', 'graphics_block', 'fan', None)
    """
    bare = _bare(text)
    for tried in (bare, bare.removesuffix("s"), bare.removesuffix("es")):
        if tried in _words():
            return all_kinds()[_words()[tried]]
    return None


def nearest_kinds(text, name=""):
    """Up to three kinds that a word, or else the part's name, may mean; the likeliest first.

    >>> [kind.key for kind in nearest_kinds("raditor")]
    ['radiator']
    """
    bare = _bare(text)
    found = [_words()[word] for word in difflib.get_close_matches(bare, _words(), n=3, cutoff=0.7)]
    for within in (bare, _bare(name)):
        held = [word for word in _words() if f" {word} " in f" {within} "]
        found += [_words()[word] for word in sorted(held, key=len, reverse=True)]
    return [all_kinds()[key] for key in dict.fromkeys(found)][:3]


def _bare(text):
    return " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())


@cache
def _words():
    """{bare word: kind's key}"""
    known = {}
    for kind in all_kinds().values():
        for word in (kind.key, str(kind.label), *kind.words):
            known.setdefault(_bare(word), kind.key)
    return known
