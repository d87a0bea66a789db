"""What the demo's tests measured; the coolant's volume comes from the machine."""

AIR = {
    "settled": 5.0, "pressure_1": 0.5, "temperature_1": 21.3, "barometer_1": 1013.0,
    "minutes": 60.0, "pressure_2": 0.499, "temperature_2": 21.2, "barometer_2": 1013.0,
}  # fmt: skip
WET = {"hours": 24.0, "drops": 0.0, "pump_alone": 1.0, "paper": 1.0}
FILL = {"hours": 26.0, "top_up": 20.0}
ELECTRICAL = {
    "dry": 1.0, "continuity": 1.0, "shorts": 1.0, "headers": 1.0, "supply": 1.0, "earth": 2.0, "insulation": 2.0,
    "first_power": 1.0,
}  # fmt: skip
SIGNED_BY = "Ida Brandt, electrician"


def soak(machine, room=22.0):
    """Readings of a soak in which everything rises over the room by 4 % more than foretold, and holds still."""
    rises = {foretold.name: round(1.04 * foretold.over_room, 1) for foretold in machine.predicted}
    return {
        "load": machine.heat_w,
        "minutes": 75.0,
        "room_1": room,
        "coolant_1": room + rises["coolant"],
        "between": 10.0,
        "room": room,
        **{name: room + rise for name, rise in rises.items()},
    }
