"""The cable book as pages and the cut sheet show it: each cable with its wires, losses and findings."""

from dataclasses import dataclass, field

from builds.checks import bought_cables
from builds.checks.cable_wires import load_w
from builds.checks.cables import check
from builds.checks.findings import NOTE
from builds.checks.wire import CONNECTORS, SUPPLY_V, drop_v

from .cables import Cable, PinOut
from .cut_list import Totals, totals
from .gather import facts_of


@dataclass(frozen=True)
class Page:
    """One cable. wires: its cut list, empty while something stands in the way; tested: {pin: WireTest}.

    watts, ampere: load, of the whole cable and of one wire; drop_v, drop_share: lost there and back at 50 °C.
    """

    cable: Cable
    part: object | None = None
    pin_out: PinOut | None = None
    wires: list = field(default_factory=list)
    tested: dict = field(default_factory=dict)
    findings: list = field(default_factory=list)
    watts: float | None = None
    ampere: float | None = None
    drop_v: float | None = None

    @property
    def drop_percent(self):
        return None if self.drop_v is None else 100 * self.drop_v / SUPPLY_V

    @property
    def rows(self):
        """[(wire, its test or None)]"""
        return [(wire, self.tested.get(wire.pin)) for wire in self.wires]

    @property
    def left(self):
        """How many wires are still to be rung through."""
        return sum(test is None for _wire, test in self.rows)

    @property
    def signed(self):
        return bool(self.pin_out and self.pin_out.signed_at)


@dataclass(frozen=True)
class Bought:
    """A cable of the spec that is bought. line: its LineFacts; findings: stops and cautions on it."""

    line: object
    findings: list = field(default_factory=list)


@dataclass(frozen=True)
class Book:
    """The cables of a spec. pages: those that are made, each a Page; bought: the others; totals: what the made take."""

    spec: object
    pages: list
    totals: Totals
    bought: list = field(default_factory=list)

    def page(self, cable):
        return next(page for page in self.pages if page.cable.pk == cable)


def book_of(spec, workshop=None):
    """The Book of a spec version, in a constant number of queries."""
    build = facts_of(spec, workshop)
    said = {}
    for finding in check(build):
        said.setdefault(dict(finding.numbers).get("cable"), []).append(finding)
    facts = {cable.name: cable for cable in build.cables}
    lines = list(spec.lines.all())
    pages = [_page(build, cable, facts[cable.name], lines, said.get(cable.name, [])) for cable in spec.cables.all()]
    return Book(spec, pages, totals([page.wires for page in pages]), _bought(build))


def _bought(build):
    found = [finding for finding in bought_cables.check(build) if finding.severity != NOTE]
    return [
        Bought(line, [finding for finding in found if finding.roles[:1] == (line.role,)])
        for line in build.of_kind("cable")
    ]


def _page(build, cable, facts, lines, findings):
    pin_out = cable.pin_out_in(lines)
    watts, ampere, lost = None, None, None
    plug = CONNECTORS.get(facts.device_connector)
    if plug and plug.feeding:
        watts = load_w(build, facts)[0]
        ampere = watts / SUPPLY_V / plug.feeding if watts else None
    if ampere and facts.awg and facts.length_mm:
        lost = drop_v(facts.awg, facts.length_mm, ampere)
    return Page(
        cable=cable,
        part=next((line.part for line in lines if line.role_id == cable.supply_id), None),
        pin_out=pin_out,
        wires=cable.wires(pin_out),
        tested=cable.tested(pin_out),
        findings=findings,
        watts=watts,
        ampere=ampere,
        drop_v=lost,
    )
