"""An invented machine of which everything is known and every check is content."""

from dataclasses import replace

from builds.checks.facts import BuildFacts, CableFacts, LoopFacts, RunFacts, StepFacts

from .trade import part

PORTED = {"port_thread": "G 1/4", "ports": 2.0, "port_spacing": 40.0, "port_depth": 8.0, "max_pressure": 2.0}
WET = {**PORTED, "wetted_metals": "nickel", "wetted_plastics": "acetal", "volume": 40.0}
BLOCK = {**WET, "inlet_marked": 1.0, "resistance_exponent": 0.3, "reference_flow": 3.8}
RADIATOR = {**PORTED, "sections": 3.0, "section_size": 120.0, "thickness": 30.0, "core_depth": 20.0,
            "fins_per_inch": 16.0, "length": 397.0, "reference_flow": 3.8, "reference_drop": 2.5,
            "wetted_metals": "copper, brass", "volume": 150.0, "fan_thread": "M3", "screw_depth": 6.5,
            "screw_wall": 1.5}  # fmt: skip
PLUG = "graphics 2×4"
LINES = {
    "case": part("case", board_sizes="ATX", front_places="3×120", front_depth=80.0, front_length=450.0,
                 top_places="3×120", top_depth=80.0, top_length=480.0, graphics_length=400.0, panel_thickness=1.0,
                 board_gap=50.0, board_offset=60.0, drives_25=2.0, drives_35=1.0, drive_height=9.5),
    "board": part("board", size="ATX", socket="S-17", board_design="A7", memory_type="DDR5", memory_places=4.0,
                  fan_headers=4.0, header_current=1.0, power_connectors=1.0, heat=30.0, limit=100.0),
    "processor": part("processor", heat=120.0, limit=90.0, socket="S-17"),
    "graphics": part("graphics", heat=200.0, limit=90.0, board_design="K2", length=280.0,
                     power_connectors="2×4"),
    "memory": part("memory", memory_type="DDR5", modules=2.0, height=33.0, heat=8.0, limit=85.0),
    "drive": part("drive", form="2.5-inch", height=7.0),
    "supply": part("power_supply", role="supply", rated_power=850.0, pcie_2x4=4.0, pcie_16=1.0, eps=2.0,
                   cable_set="C-3"),
    "pump": part("pump", max_flow=16.0, max_pressure_head=45.0, heat=8.0, max_coolant=60.0, speed_signal=1.0,
                 inlet_marked=1.0, **{**WET, "wetted_metals": "stainless"}),
    "reservoir": part("reservoir", top_inlet=1.0, **{**WET, "ports": 3.0, "volume": 300.0}),
    "processor block": part("processor_block", role="processor block", resistance=0.12, reference_drop=9.0,
                            sockets="S-17", **BLOCK),
    "graphics block": part("graphics_block", role="graphics block", resistance=0.08, reference_drop=6.0,
                           board_designs="K2", **BLOCK),
    "board block": part("board_block", role="board block", resistance=0.2, reference_drop=4.0, board_designs="A7",
                        cools_processor=0.0, **BLOCK),
    "memory block": part("memory_block", role="memory block", resistance=0.3, reference_drop=3.0,
                         memory_type="DDR5", modules=2.0, height=58.0, **BLOCK),
    "front radiator": part("radiator", role="front radiator", **RADIATOR),
    "top radiator": part("radiator", role="top radiator", **RADIATOR),
    "fan": part("fan", quantity=7, free_flow=111.6, max_pressure=18.0, sound_level=24.0, rated_speed=1200.0,
                size=120.0, thickness=25.0, flange=4.0, current=0.1),
    "screws": part("consumable", role="screws", quantity=24, form="screws", screw_thread="M3", screw_length=30.0),
    "fittings": part("fitting", role="fittings", quantity=20, form="straight", thread="G 1/4", tube_outside=13.0,
                     tube_bore=10.0, wetted_metals="nickel", diameter=20.0, thread_length=5.0, max_pressure=2.0),
    "drain": part("fitting", role="drain", form="drain valve", thread="G 1/4", wetted_metals="nickel",
                  diameter=20.0, thread_length=5.0, max_pressure=2.0),
    "tube": part("tube", quantity=5, bore=10.0, outside=13.0, material="EPDM", bend_radius=30.0),
    "coolant": part("coolant", quantity=3, fluid="propylene glycol", mass_fraction=0.2, inhibited=1.0,
                    biocide="organic"),
    "cable": part("cable", length=500.0, gauge=18.0, connectors="processor 2×4, processor 2×4", cable_sets="C-3"),
    "wire": part("wire", quantity=9, form="wire", gauge=18.0, colour="slate"),
    "sleeve": part("wire", role="sleeve", quantity=9, form="sleeve"),
    "shrink": part("wire", role="shrink", quantity=2, form="heat-shrink"),
    "terminals": part("consumable", role="terminals", quantity=30, form="terminals"),
    "housings": part("consumable", role="housings", quantity=2, form="housing", connector=PLUG),
}  # fmt: skip
FED = {"fan": "board", "pump": "supply", "cable": "supply"}
ORDER = ["reservoir", "pump", "processor block", "board block", "memory block", "graphics block", "front radiator",
         "top radiator"]  # fmt: skip
FANS = {"fans": "fan", "fan_count": 3, "screws": "screws", "screw_through": "fan", "ports_at": "level"}
STEPS = {
    "pump": {"speed": 1.0}, "processor block": {"cools": "processor"}, "graphics block": {"cools": "graphics"},
    "board block": {"cools": "board"}, "memory block": {"cools": "memory"},
    "front radiator": {**FANS, "place": "front", "blows_to": "case"},
    "top radiator": {**FANS, "place": "top", "draws_from": "case"},
}  # fmt: skip
CABLE = CableFacts("graphics cable", "supply", PLUG, "graphics", PLUG, awg=18, length_mm=500.0, signed=True,
                   wires=((18, "slate", 4.0),), terminals=16, sleeve_m=4.0, shrink_m=0.3)  # fmt: skip


def machine(lines=None, steps=None, cable=None, **loop):
    """The machine, but for what is given: lines {role: line or None}, steps {role: {field: value}}, cable fields."""
    known = {**LINES, **(lines or {})}
    how = {role: {**STEPS.get(role, {}), **(steps or {}).get(role, {})} for role in ORDER}
    runs = tuple(RunFacts(a, b, 300.0, bends=1, from_port="out", to_port="in")
                 for a, b in zip(ORDER, [*ORDER[1:], ORDER[0]], strict=True))  # fmt: skip
    said = {"runs": runs, "tube_length_mm": 2400.0, "fitting_loss": 10.0, "air_ml": 250.0, "highest": "reservoir",
            "lowest": "front radiator", "drained_at": "front radiator", **loop}  # fmt: skip
    fed = {role: {"fed_from": source} for role, source in FED.items()}
    fed["fan"]["outlets"], fed["cable"]["feeds"] = 3, "board"
    return BuildFacts(
        lines=tuple(replace(line, **fed.get(role, {})) for role, line in known.items() if line),
        loops=(LoopFacts(steps=tuple(StepFacts(role=role, **how[role]) for role in ORDER), **said),),
        cables=(replace(CABLE, **(cable or {})),),
        room_c=22.0,
        room_given=True,
    )


def altered(role, **facts):
    """{role: its line with these facts changed}; a fact that is None is not known."""
    line = LINES[role]
    known = {**line.facts, **part(line.kind, **{k: v for k, v in facts.items() if v is not None}).facts}
    return {role: replace(line, facts={name: one for name, one in known.items() if facts.get(name, 0) is not None})}
