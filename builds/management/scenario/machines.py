"""What goes into the demo's machines: rows of (kind, role, part, quantity), parts by their catalogue names."""

PASTE = ("consumable", "paste", "Thermal paste, 4 g", 1)

SLATE_CABLES = (
    ("wire", "cable wire", "Wire AWG 18, slate", "11.1"),
    ("wire", "cable sleeve", "Sleeve 4 mm, slate", "10.5"),
    ("wire", "heat-shrink", "Heat-shrink 6 mm, 3 : 1", "0.6"),
    ("consumable", "terminals", "Crimp terminals, female", 36),
    ("consumable", "graphics housings", "Housing, graphics 2×4", 2),
    ("consumable", "processor housings", "Housing, processor 2×4", 2),
)


def _screws(fans, length=30):
    return ("consumable", "fan screws", f"Screws M3 × {length}, fan to radiator", 4 * fans)


def _machine(case, board, processor, memory, drive, supply, processor_block, *rest):
    return [
        ("case", "case", case, 1),
        ("board", "main board", board, 1),
        ("processor", "processor", processor, 1),
        ("memory", "memory", memory, 1),
        ("drive", "system drive", drive, 1),
        ("power_supply", "power supply", supply, 1),
        ("processor_block", "processor block", processor_block, 1),
        *rest,
        PASTE,
    ]


def _plumbing(fittings, metres, coolant="Coolant, clear, inhibited", litres=2):
    return [
        ("fitting", "tube fittings", "Straight fitting, 13 mm hard tube", fittings),
        ("fitting", "plugs", "Plug, G 1/4", 4),
        ("fitting", "drain", "Drain valve, G 1/4", 1),
        ("tube", "tube", "Hard tube 13 × 1.5, PETG", metres),
        ("coolant", "coolant", coolant, litres),
    ]


RENDER_NODE = _machine(
    "Full tower, double chamber, slate", "Main board ATX, socket T-6", "Processor, thirty-two cores, 280 W",
    "Memory 4 × 32 GB, low", "Drive M.2, 2 TB", "Power supply 1200 W", "Processor block, acetal top",
    ("graphics", "graphics board", "Graphics board, design M9", 1),
    ("graphics_block", "graphics block", "Graphics block, full cover, M9", 1),
    ("radiator", "front radiator", "Radiator 3 × 120, 45 mm, 13 fins an inch", 1),
    ("radiator", "top radiator", "Radiator 3 × 120, 30 mm, 16 fins an inch", 1),
    ("fan", "fans", "Fan 120 × 25, 1600 rpm", 6),
    _screws(6),
    ("pump_reservoir", "pump and reservoir", "Pump and reservoir unit, 200 mm", 1),
    *_plumbing(12, "3"),
    ("cable", "board cable", "Main board cable, 24 pins, sleeved", 1),
)  # fmt: skip

COLD_LAB = _machine(
    "Mid tower, side window, sand", "Main board ATX, socket S-17", "Processor, sixteen cores, 170 W",
    "Memory 4 × 32 GB, low", "Drive M.2, 2 TB", "Power supply 650 W", "Processor block, acetal top",
    ("radiator", "front radiator", "Radiator 2 × 120, 45 mm, 13 fins an inch", 1),
    ("fan", "fans", "Fan 120 × 25, 1200 rpm", 2),
    _screws(2),
    ("pump_reservoir", "pump and reservoir", "Pump and reservoir unit, 200 mm", 1),
    *_plumbing(8, "1.7", "Coolant, amber, 20 % glycol, inhibited"),
)  # fmt: skip

FLIGHT_DECK = _machine(
    "Full tower, double chamber, slate", "Main board ATX, socket S-17", "Processor, twelve cores, 140 W",
    "Memory 2 × 32 GB, low", "Drive M.2, 2 TB", "Power supply 850 W", "Processor block, clear top",
    ("drive", "scenery drive", "Drive 2.5-inch, 4 TB", 1),
    ("graphics", "graphics board", "Graphics board, design K2-short", 1),
    ("graphics_block", "graphics block", "Graphics block, full cover, K2-short", 1),
    ("radiator", "front radiator", "Radiator 3 × 120, 45 mm, 13 fins an inch", 1),
    ("radiator", "top radiator", "Radiator 3 × 120, 30 mm, 16 fins an inch", 1),
    ("fan", "fans", "Fan 120 × 25, 1600 rpm", 6),
    _screws(6),
    ("pump_reservoir", "pump and reservoir", "Pump and reservoir unit, 200 mm", 1),
    *_plumbing(12, "2.5"),
    ("cable", "board cable", "Main board cable, 24 pins, sleeved", 1),
    ("cable", "graphics cable", "Graphics cable, 2×4 pins, sleeved", 1),
    *SLATE_CABLES,
)  # fmt: skip

CUTTING_ROOM = _machine(
    "Mid tower, side window, sand", "Main board ATX, socket S-17", "Processor, sixteen cores, 170 W",
    "Memory 2 × 32 GB, low", "Drive M.2, 2 TB", "Power supply 850 W", "Processor block, clear top",
    ("drive", "scratch drive", "Drive 2.5-inch, 4 TB", 1),
    ("graphics", "graphics board", "Graphics board, design K2-long", 1),
    ("graphics_block", "graphics block", "Graphics block, full cover, K2-long", 1),
    ("radiator", "front radiator", "Radiator 3 × 120, 30 mm, 16 fins an inch", 1),
    ("radiator", "top radiator", "Radiator 2 × 120, 30 mm, 16 fins an inch", 1),
    ("fan", "fans", "Fan 120 × 25, 1200 rpm", 5),
    _screws(5),
    ("pump_reservoir", "pump and reservoir", "Pump and reservoir unit, 200 mm", 1),
    *_plumbing(12, "2.5"),
    ("cable", "board cable", "Main board cable, 24 pins, sleeved", 1),
)  # fmt: skip

PALE_ASH = _machine(
    "Small case, pale ash front", "Main board Mini-ITX, socket S-17", "Processor, eight cores, 105 W",
    "Memory 2 × 16 GB, low", "Drive M.2, 2 TB", "Power supply 650 W", "Processor block, acetal top",
    ("radiator", "top radiator", "Radiator 2 × 120, 30 mm, 16 fins an inch", 1),
    ("fan", "fans", "Fan 120 × 25, 1200 rpm", 2),
    _screws(2),
    ("pump_reservoir", "pump and reservoir", "Pump and reservoir unit, low, 90 mm", 1),
    *_plumbing(8, "1.5"),
)  # fmt: skip

# A first draft with two mistakes that the checks stop: screws that pierce the radiator, a block for another board.
CONSOLE = _machine(
    "Low console case, charcoal", "Main board microATX, socket S-17", "Processor, eight cores, 105 W",
    "Memory 2 × 16 GB, low", "Drive M.2, 2 TB", "Power supply 650 W", "Processor block, acetal top",
    ("board_block", "board block", "Board block, regulators, design A7", 1),
    ("radiator", "side radiator", "Radiator 2 × 120, 30 mm, 16 fins an inch", 1),
    ("fan", "fans", "Fan 120 × 25, 1200 rpm", 2),
    _screws(2, length=35),
    ("pump_reservoir", "pump and reservoir", "Pump and reservoir unit, low, 90 mm", 1),
    *_plumbing(9, "1.5"),
)  # fmt: skip
