"""A thin rule that shows how much of what was quoted is used."""

from functools import lru_cache

from .svg import picture, shape

WIDTH, HEIGHT = 100, 6


def measure(used, quoted, label=""):
    """Draw `used` of `quoted` (same unit, both ≥ 0) as a rule; beyond the quote it goes on past a notch.

    label: what it says in words, as in "12.5 of 46 h".
    """
    return _drawn(max(float(used), 0), max(float(quoted or 0), 0), label)


@lru_cache(maxsize=1024)  # a board draws hundreds, the same at each look while nobody works
def _drawn(used, quoted, label):
    whole = max(used, quoted)
    over = used > quoted
    share = WIDTH * used / whole if whole else 0
    body = shape("rect", class_="all", width=WIDTH, height=HEIGHT, fill="none")
    body += shape("rect", class_="used", width=share, height=HEIGHT, fill="currentColor")
    if over:
        body += shape(
            "rect",
            class_="notch",
            x=WIDTH * quoted / whole - 0.75,
            width=1.5,
            height=HEIGHT,
            fill="currentColor",
        )
    kind = "measure over" if over else "measure"
    return picture(WIDTH, HEIGHT, body, kind=kind, title=label, desc="", stretch=True)
