"""Who gets how much: quantities dealt out over shares in the order of need. Plain numbers, no database."""

from decimal import Decimal

NOTHING = Decimal(0)


def allot(quantity, wants):
    """Deal a quantity out to wants in their order; what nobody wants is the rest.

    wants: [(key, wanted)], the most pressing first. Returns ([(key, given)], rest).

    >>> allot(Decimal(5), [("J-0042", Decimal(2)), ("J-0043", Decimal(2))])
    ([('J-0042', Decimal('2')), ('J-0043', Decimal('2'))], Decimal('1'))
    """
    given, rest = [], quantity
    for key, wanted in wants:
        part = min(max(wanted, NOTHING), rest)
        if part > 0:
            given.append((key, part))
            rest -= part
    return given, rest


def open_wants(shares, came, credited=NOTHING):
    """What each share still waits for.

    shares: [(key, quantity)], the most pressing first. came: {key: quantity that came for it}. credited: what the
    supplier will not deliver any more; the least pressing share goes without first.

    >>> open_wants([("a", Decimal(2)), ("b", Decimal(2))], {"a": Decimal(1)}, credited=Decimal(1))
    [('a', Decimal('1')), ('b', Decimal('1'))]
    """
    open_ = [(key, max(quantity - came.get(key, NOTHING), NOTHING)) for key, quantity in shares]
    gone, _rest = allot(credited, list(reversed(open_)))
    without = dict(gone)
    return [(key, wanted - without.get(key, NOTHING)) for key, wanted in open_]


def resized(shares, quantity, spare):
    """Shares made to sum to a new quantity: more goes to the spare key, less is taken there first, then from the end.

    >>> resized([("J-0042", Decimal(2)), ("shelf", Decimal(1))], Decimal(5), spare="shelf")
    {'J-0042': Decimal('2'), 'shelf': Decimal('3')}
    >>> resized([("J-0042", Decimal(2)), ("shelf", Decimal(1))], Decimal(1), spare="shelf")
    {'J-0042': Decimal('1')}
    """
    wants = [(key, part) for key, part in shares if key != spare]
    given, rest = allot(quantity, wants)
    result = dict(given)
    if rest:
        result[spare] = rest
    return result
