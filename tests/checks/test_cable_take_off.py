"""What cables take: metres from the cut lists; one spare in eight, at least two terminals, is common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.cable_take_off import cable_items, check
from builds.checks.facts import BuildFacts, CableFacts
from builds.checks.take_off import spare_length, with_spares

from .trade import cautions, missing, notes, part, stops

PLUG = "graphics 2×4"
WIRES = ((18, "black", 3.175), (18, "yellow", 1.905))
MADE = CableFacts("graphics cable", "power_supply", PLUG, "graphics", PLUG, awg=18, length_mm=635.0, signed=True,
                  wires=WIRES, terminals=13, sleeve_m=4.8, shrink_m=0.24)  # fmt: skip
ENOUGH = [
    part("wire", role="black wire", form="wire", gauge=18.0, colour="black", quantity=4),
    part("wire", role="yellow wire", form="wire", gauge=18.0, colour="Yellow", quantity=3),
    part("wire", role="sleeve", form="sleeve", quantity=6),
    part("wire", role="shrink", form="heat-shrink", quantity=1),
    part("consumable", role="terminals", form="terminals", quantity=20),
    part("consumable", role="housings", form="housing", connector=PLUG, quantity=2),
    part("consumable", role="paste", form="paste"),
]


def book(lines=ENOUGH, cables=(MADE,)):
    return BuildFacts(lines=tuple(lines), cables=tuple(cables))


def wanted(facts):
    return {item.key: item.wanted for item in cable_items(facts)}


def test_enough_of_everything_passes():
    assert check(book()) == []
    assert wanted(book()) == {
        "wire 18 black": 3.6, "wire 18 yellow": 2.2, "terminals": 15, f"housing {PLUG}": 2, "sleeve": 5.4,
        "heat-shrink": 0.3,
    }  # fmt: skip


def test_too_little_is_said_at_its_line_and_none_is_a_note():
    two = cautions(check(book(cables=(MADE, MADE))))
    assert "Wire, AWG 18, black: the cables take 6.35 m; with spares that is 7.2 m, and the spec has 4 m." in two
    assert "Terminals: the cables take 26; with spares that is 30, and the spec has 20." in two
    assert "Sleeve: the cables take 5.4 m with spares, and the spec has none." in notes(check(book([])))
    assert not stops(check(book([]))), "cables may be made of what lies about; nothing stops for it"


def test_wire_of_no_said_colour_stands_for_all_of_its_gauge():
    plain = part("wire", role="plain wire", form="wire", gauge=18.0, quantity=9)
    facts = book([plain, *ENOUGH[2:]])
    assert wanted(facts)["wire 18"] == spare_length(3.175 + 1.905)
    assert check(facts) == []
    mixed = book([plain, *ENOUGH[1:]])
    assert wanted(mixed)["wire 18"] == 3.6, "yellow has a line of its own"


def test_wire_of_another_gauge_is_no_wire_for_it():
    thin = part("wire", role="thin wire", form="wire", gauge=22.0, colour="black", quantity=9)
    assert any("Wire, AWG 18, black" in said for said in notes(check(book([thin, *ENOUGH[1:]]))))


def test_what_is_not_known_is_asked_for():
    found = check(book([part("wire", role="some"), part("wire", name="a wire", form="wire"),
                        part("consumable", form="housing")]))  # fmt: skip
    assert missing(found) == {"the wire": "form", "a wire": "gauge", "the consumable": "connector"}


def test_a_cable_without_gauge_or_length_takes_nothing_yet():
    assert check(book([], [CableFacts("bare", "power_supply", PLUG, "graphics", PLUG)])) == []
    assert check(BuildFacts()) == []


@given(st.lists(st.tuples(st.sampled_from([16, 18]), st.sampled_from(["black", "slate"]), st.floats(0.1, 20)),
                min_size=1, max_size=6), st.booleans(), st.integers(1, 60))  # fmt: skip
def test_every_metre_is_counted_once_whatever_lines_there_are(wires, plain, terminals):
    lines = [part("wire", role="plain", form="wire", gauge=18.0)] if plain else []
    lines += [part("wire", role="black", form="wire", gauge=18.0, colour="black")]
    cable = CableFacts("one", "power_supply", PLUG, "graphics", PLUG, wires=tuple(wires), terminals=terminals)
    items = cable_items(book(lines, [cable]))
    needed = sum(item.needed for item in items if item.key.startswith("wire"))
    assert needed == pytest.approx(sum(metres for _awg, _colour, metres in wires), abs=0.03)
    assert next(item.wanted for item in items if item.key == "terminals") == with_spares(terminals)
    assert len({item.key for item in items}) == len(items)
