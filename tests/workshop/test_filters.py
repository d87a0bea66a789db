"""Numbers as pages and papers print them."""

import pytest

from parts.templatetags.bench import number


@pytest.mark.parametrize(
    ("value", "digits", "shown"),
    [(1.0771, 2, "1.08"), (31.86, 1, "31.9"), (-0.06, 1, "-0.1"), (4, 0, "4"), (0.5, None, "0.5"), (None, 2, "–")],
)
def test_a_number_is_rounded_not_cut(value, digits, shown):
    assert number(value, digits) == shown
