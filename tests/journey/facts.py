"""What the builder looks up and types for the parts of the list, by name; generic parts, invented values."""

PORTS = {"port_thread": "G 1/4", "max_pressure": "1 bar"}
NICKEL_BLOCK = {
    "resistance_exponent": "0.3", "reference_flow": "3.8 L/min", "wetted_metals": "nickel", "wetted_plastics": "acetal",
    "volume": "40 mL", **PORTS,
}  # fmt: skip
RADIATOR = {
    "section_size": "120 mm", "width": "124 mm", "fan_thread": "M3", "screw_depth": "6,5 mm",
    "wetted_metals": "copper, brass", "reference_flow": "3.8 L/min", **PORTS,
}  # fmt: skip
FITTING = {"thread": "G 1/4", "wetted_metals": "nickel", "diameter": "19 mm", "max_pressure": "2 bar"}

FACTS = {
    "Mid tower case, side window, sand": {
        "board_sizes": "microATX, Mini-ITX", "front_places": "3×120", "front_depth": "2 3/4 in", "top_places": "2×120",
        "top_depth": "85 mm", "graphics_length": "360 mm", "panel_thickness": "1 mm", "drives_25": "2",
    },
    "Main board microATX, socket S-17": {
        "size": "microATX", "socket": "S-17", "memory_type": "DDR5", "memory_places": "4", "heat": "25 W",
        "fan_headers": "5", "header_current": "1 A",
    },
    "Processor twelve cores 140 W": {"socket": "S-17", "heat": "140 W", "limit": "90 °C", "cores": "12"},
    "Graphics board, code K2-short": {
        "board_design": "K2-short", "heat": "220 W", "limit": "190 °F", "length": "245 mm", "power_connectors": "2×4",
    },
    "Memory 2 x 32 GB": {"memory_type": "DDR5", "capacity": "64 GB", "modules": "2", "height": "33 mm"},
    "Drive M.2 2 TB": {"form": "M.2", "capacity": "2000 GB", "height": "4 mm"},
    "Drive 2.5 inch 4 TB": {"form": "2.5-inch", "capacity": "4000 GB", "height": "7 mm"},
    "Power supply 850 W": {
        "rated_power": "850 W", "length": "160 mm", "pcie_2x4": "4", "pcie_16": "1", "eps": "2",
    },
    "Radiator 3x120, 30 mm": {
        "sections": "3", "length": "397 mm", "thickness": "30 mm", "core_depth": "18 mm", "fins_per_inch": "16",
        "reference_drop": "2.5 kPa", "volume": "260 mL", **RADIATOR,
    },
    "Radiator 2x120, 45 mm": {
        "sections": "2", "length": "277 mm", "thickness": "45 mm", "core_depth": "33 mm", "fins_per_inch": "13",
        "reference_drop": "16 mbar", "volume": "270 mL", **RADIATOR,
    },
    "Fan 120 x 25, 1600 rpm": {
        "size": "120 mm", "thickness": "25 mm", "rated_speed": "1600 rpm", "start_speed": "25 %",
        "free_flow": "61 CFM", "max_pressure": "1.8 mmH2O", "sound_level": "24 dB(A)", "current": "0.12 A",
    },
    "Pump and reservoir unit 200 mm": {
        "max_flow": "16 L/min", "max_pressure_head": "45 kPa", "heat": "15 W", "sound_level": "22 dB",
        "max_coolant": "60 °C", "wetted_metals": "nickel", "wetted_plastics": "acetal", "height": "200 mm",
        "top_inlet": "yes", "volume": "260 mL", "port_thread": "G 1/4", "max_pressure": "0.5 bar",
    },
    "Processor block, clear top": {
        "sockets": "S-17", "resistance": "0.12 K/W", "reference_drop": "9 kPa", **NICKEL_BLOCK,
    },
    "Graphics block full cover K2-short": {
        "board_designs": "K2-short", "resistance": "0.08 K/W", "reference_drop": "6 kPa", **NICKEL_BLOCK,
    },
    "Straight fitting 13 mm hard tube": {"form": "straight", "tube_outside": "13 mm", "tube_bore": "10 mm", **FITTING},
    "Angle fitting 90 degrees": {"form": "angle 90", **FITTING},
    "Plug G 1/4": {"form": "plug", **FITTING},
    "Drain valve G 1/4": {"form": "drain valve", **FITTING},
    "Hard tube 13 x 1.5, PETG": {"bore": "10 mm", "outside": "13 mm", "material": "PETG", "bend_radius": "26 mm"},
    "Coolant clear inhibited": {
        "fluid": "water", "mass_fraction": "0 %", "inhibited": "yes", "life": "12", "appearance": "clear",
    },
}  # fmt: skip
