"""Numbers people say aloud: J-0042, Q-0052, O-0007, and their URL converters."""

from django.urls import register_converter

PREFIXES = {"job": "J", "quote": "Q", "order": "O", "bill": "B"}


def label(series, number):
    """The written form of a number.

    >>> label("job", 42)
    'J-0042'
    """
    return f"{PREFIXES[series]}-{number:04d}"


def _converter(series):
    prefix = PREFIXES[series]

    class Converter:
        regex = f"{prefix}-[0-9]{{1,9}}"

        def to_python(self, value):
            return int(value.split("-")[1])

        def to_url(self, value):
            return label(series, value)

    return Converter


for _series in PREFIXES:
    register_converter(_converter(_series), _series)
