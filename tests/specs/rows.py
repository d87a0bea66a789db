"""A whole invented machine as rows: the design's example loop in a case of our own."""

from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.specs.models import Step
from tests.factories import JobFactory, LoopFactory, PartFactory, RoleFactory, SpecLineFactory, SpecVersionFactory

BLOCK = {"resistance_exponent": 0.3, "reference_flow": 3.8, "wetted_metals": "copper, nickel", "port_thread": "G 1/4",
         "wetted_plastics": "acetal", "volume": 40.0, "ports": 2.0, "port_spacing": 25.0, "port_depth": 6.0,
         "inlet_marked": 0.0, "max_pressure": 2.0}  # fmt: skip
PARTS = {
    "case": ("case", 1, {"front_places": "3×120", "front_depth": 70.0, "board_sizes": "ATX", "graphics_length": 400.0}),
    "main board": ("board", 1, {"size": "ATX", "socket": "S-17", "memory_type": "DDR5", "memory_places": 4.0,
                                "fan_headers": 4.0, "header_current": 1.0,
                                "power_connectors": 1.0, "heat": 30.0}),
    "processor": ("processor", 1, {"heat": 120.0, "limit": 90.0, "socket": "S-17"}),
    "graphics board": ("graphics", 1, {"heat": 180.0, "limit": 90.0, "board_design": "K2", "length": 300.0,
                                       "power_connectors": "16-pin"}),
    "power supply": ("power_supply", 1, {"rated_power": 850.0, "pcie_2x4": 4.0, "pcie_16": 1.0, "eps": 2.0}),
    "pump": ("pump_reservoir", 1, {"max_flow": 16.0, "max_pressure_head": 45.0, "heat": 15.0, "max_coolant": 60.0,
                                   "wetted_metals": "none", "wetted_plastics": "acetal", "port_thread": "G 1/4",
                                   "top_inlet": 1.0, "volume": 200.0, "ports": 3.0, "port_spacing": 30.0,
                                   "port_depth": 8.0, "inlet_marked": 0.0, "speed_signal": 1.0}),
    "processor block": ("processor_block", 1, {**BLOCK, "resistance": 0.12, "reference_drop": 9.0, "sockets": "S-17"}),
    "graphics block": ("graphics_block", 1, {**BLOCK, "resistance": 0.08, "reference_drop": 6.0,
                                             "board_designs": "K2"}),
    "front radiator": ("radiator", 1, {"sections": 3.0, "section_size": 120.0, "core_depth": 20.0, "thickness": 32.0,
                                       "fins_per_inch": 16.0, "reference_flow": 3.8, "reference_drop": 2.5,
                                       "wetted_metals": "copper, brass", "port_thread": "G 1/4", "volume": 150.0,
                                       "ports": 2.0, "port_spacing": 40.0, "port_depth": 8.0, "fan_thread": "M3",
                                       "screw_depth": 6.5, "screw_wall": 1.5}),
    "front fans": ("fan", 3, {"free_flow": 111.6, "max_pressure": 18.0, "sound_level": 24.0, "rated_speed": 1200.0,
                              "size": 120.0, "thickness": 25.0, "current": 0.1}),
    "fittings": ("fitting", 12, {"form": "straight", "thread": "G 1/4", "tube_outside": 13.0, "tube_bore": 10.0,
                                 "wetted_metals": "nickel", "diameter": 20.0, "thread_length": 5.0}),
    "tube": ("tube", 3, {"bore": 10.0, "outside": 13.0, "material": "EPDM"}),
    "coolant": ("coolant", 1, {"fluid": "water", "inhibited": 1.0, "biocide": "organic"}),
}  # fmt: skip
ORDER = ["pump", "processor block", "graphics block", "front radiator"]


def machine(job=None, extra=0, **changes):
    """A spec version with every part and one loop; changes={"front radiator": {"thickness": 60.0}} alter facts."""
    job = job or JobFactory(room_warmest_c=22.0)
    spec = SpecVersionFactory(job=job)
    lines = {}
    for position, (role, (kind, quantity, facts)) in enumerate(PARTS.items()):
        known = {**facts, **changes.get(role, {})}
        part = PartFactory(kind=kind, name=f"Saltmarsh {role} {job.number}", facts=known)
        row = RoleFactory(job=job, kind=kind, name=role, position=position)
        lines[role] = SpecLineFactory(spec=spec, role=row, part=part, quantity=quantity)
    for n in range(extra):
        part = PartFactory(kind="drive", name=f"drive {job.number}-{n}", facts={"form": "M.2"})
        row = RoleFactory(job=job, kind="drive", name=f"drive {n}", position=100 + n)
        SpecLineFactory(spec=spec, role=row, part=part)
    loop = LoopFactory(spec=spec, case_heat_w=0.0)
    for position, role in enumerate(ORDER):
        Step.objects.create(loop=loop, line=lines[role], position=position, **_run(role, lines))
    return spec


def _run(role, lines):
    if role == "pump":
        return {"speed": 1.0}
    if role == "front radiator":
        return {"speed": 0.75, "fans": lines["front fans"].role, "fan_count": 3, "grille_loss": 0.0, "place": "front",
                "blows_to": "case"}  # fmt: skip
    return {"cools": lines["processor" if role.startswith("processor") else "graphics board"].role}


def queries(client, url):
    """How many queries a page takes once the workshop's row is there."""
    client.get(url)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(url).status_code == 200
    return len(asked)
