"""Money: Decimal amounts, one rounding function, exact shares."""

from decimal import ROUND_HALF_UP, Decimal

# ISO 4217 minor units that are not two digits (from memory; the currencies a workshop may meet).
MINOR_UNITS = {
    "JPY": 0,
    "KRW": 0,
    "ISK": 0,
    "CLP": 0,
    "VND": 0,
    "KWD": 3,
    "BHD": 3,
    "OMR": 3,
    "JOD": 3,
    "TND": 3,
}


def quantum(currency):
    """The smallest amount of a currency: Decimal("0.01") for most."""
    return Decimal(1).scaleb(-MINOR_UNITS.get(currency, 2))


def rounded(amount, currency):
    """Round an amount to the currency's minor unit, half away from zero.

    >>> rounded(Decimal("365.125"), "NOK")
    Decimal('365.13')
    >>> rounded(Decimal("-0.005"), "EUR")
    Decimal('-0.01')
    >>> rounded(Decimal("-0.004"), "EUR")
    Decimal('0.00')
    """
    exact = Decimal(amount).quantize(quantum(currency), rounding=ROUND_HALF_UP)
    return exact or exact.copy_abs()  # nothing is nothing, without a sign


def shared(total, weights, currency):
    """Share a total over weights in whole minor units, nothing lost.

    Each share is the running total's share less what was given before, so the parts always sum
    to the rounded total. Weights that sum to zero share alike.

    >>> shared(Decimal("10.00"), [1, 1, 1], "EUR")
    [Decimal('3.33'), Decimal('3.34'), Decimal('3.33')]
    """
    weights = [Decimal(w) for w in weights]
    if not weights:
        return []
    if any(w < 0 for w in weights):
        raise ValueError("weights must not be negative")
    if not sum(weights):
        weights = [Decimal(1)] * len(weights)
    whole, total = sum(weights), rounded(total, currency)
    shares, weight_so_far, given = [], Decimal(0), Decimal(0)
    for weight in weights:
        weight_so_far += weight
        upto = rounded(total * weight_so_far / whole, currency)
        shares.append(upto - given)
        given = upto
    return shares
