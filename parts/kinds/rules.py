"""Contradictions between the facts of one part."""

from django.utils.translation import gettext as _

from .reading import show_fact


def not_more(smaller, larger, strictly=False):
    """A rule: one fact is never more than another of the same unit."""

    def rule(kind, values):
        small, large = values.get(smaller), values.get(larger)
        if small is None or large is None or small < large or (small == large and not strictly):
            return None
        first, second = kind.fact(smaller), kind.fact(larger)
        sentence = _("%(first)s: %(small)s is not possible with %(second)s %(large)s. Correct one of the two.") % {
            "first": first.label,
            "small": show_fact(first, small),
            "second": second.label,
            "large": show_fact(second, large),
        }
        return smaller, sentence

    return rule
