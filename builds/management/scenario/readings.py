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
