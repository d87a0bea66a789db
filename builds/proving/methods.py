"""The tests in their order, and which must be through before which begins."""

from . import airtest, electrical, fill, soak, wettest

METHODS = {"air": airtest, "wet": wettest, "fill": fill, "electrical": electrical, "soak": soak}
AFTER = {"wet": "air", "soak": "fill"}
