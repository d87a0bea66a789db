"""Readings of a sound machine, as they are typed on the phone, and as plain values."""

from builds.proving.judgement import Machine, Predicted
from builds.proving.models import Gate
from tests.factories import once

AIR = {
    "volume": "1.2 L", "settled": "5 min", "pressure_1": "0.5 bar", "temperature_1": "21.3 °C",
    "barometer_1": "1013 hPa", "minutes": "60 min", "pressure_2": "0.499 bar", "temperature_2": "21.2 °C",
    "barometer_2": "1013 mbar",
}  # fmt: skip
WET = {"hours": "24 h", "drops": "0", "pump_alone": "on", "paper": "on"}
FILL = {"volume_in": "1.15 L", "hours": "26 h", "top_up": "20 mL"}
ELECTRICAL = {
    "dry": "1.0", "continuity": "1.0", "shorts": "1.0", "headers": "1.0", "supply": "1.0", "earth": "2.0",
    "insulation": "2.0", "first_power": "1.0", "signed_by": "Ida Brandt, electrician",
}  # fmt: skip
SOAK = {"load": "320 W", "minutes": "70 min", "room_1": "22.0 °C", "coolant_1": "31.0 °C", "between": "10 min",
        "room": "22.1 °C", "coolant": "31.2 °C"}  # fmt: skip
TYPED = {"air": AIR, "wet": WET, "fill": FILL, "electrical": ELECTRICAL, "soak": SOAK}

MACHINE = Machine(
    volume_l=1.2,
    predicted=(Predicted("coolant", "coolant", 9.2, 7.5, 11.5, limit_c=55.0),),
    heat_w=315.0,
    time_constant_min=4.0,
    room_warmest_c=28.0,
    basis="foretold",
)
PLAIN = {
    "air": {"volume": 1.2, "settled": 5.0, "pressure_1": 0.5, "temperature_1": 21.3, "barometer_1": 1013.0,
            "minutes": 60.0, "pressure_2": 0.499, "temperature_2": 21.2, "barometer_2": 1013.0},
    "wet": {"hours": 24.0, "drops": 0.0, "pump_alone": 1.0, "paper": 1.0},
    "fill": {"volume_in": 1.15, "hours": 26.0, "top_up": 20.0},
    "electrical": {name: float(value) for name, value in ELECTRICAL.items() if name != "signed_by"},
    "soak": {"load": 320.0, "minutes": 70.0, "room_1": 22.0, "coolant_1": 31.0, "between": 10.0, "room": 22.1,
             "coolant": 31.2},
}  # fmt: skip


def gate_of(job, kind, by):
    return next(gate for gate in Gate.objects.open_for(job, by) if gate.kind == kind)


def recorded(job, kind, by, machine=MACHINE, **changed):
    """The gate with one judged trial, not yet confirmed."""
    gate = gate_of(job, kind, by)
    signed = "Ida Brandt, electrician" if kind == "electrical" else ""
    gate.record({**PLAIN[kind], **changed}, by, machine=machine, signed_by=signed)
    return Gate.objects.with_trials().get(pk=gate.pk)


def passed(job, by, kinds=("air", "wet", "fill", "electrical", "soak")):
    """Every gate of these kinds passed, in order."""
    for kind in kinds:
        recorded(job, kind, by).confirm("passed", by)


def post(client, address, **data):
    return client.post(address, once(**data))
