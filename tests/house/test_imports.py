"""The house rule: imports and foreign keys run down and leftward; no circle; every room's models are gathered."""

import ast
import importlib
import pkgutil
from pathlib import Path

import pytest
from django.apps import apps

HOUSE = Path(__file__).resolve().parent.parent.parent
BUILDS_LINE = (
    "jobs", "checks", "specs", "labour", "quotes", "gathering", "journal", "proving", "handover", "clientpage", "board",
)  # fmt: skip
BUILDS_ORDER = {"clients": 0, "sheets": 0, "plots": 0, **{room: level for level, room in enumerate(BUILDS_LINE, 1)}}
PARTS_ORDER = {
    room: level for level, room in enumerate(["kinds", "workshop", "catalogue", "suppliers", "shelf", "orders"])
}
# The project's own files at the top of builds, and its tags and commands, stand above all rooms.
TOP = {"settings", "urls", "wsgi", "models", "apps", "templatetags", "management", "migrations", ""}
FLOOR = {"thermal": 0, "parts": 1, "builds": 2}
THERMAL_DOOR = {"document.py", "units.py", "apps.py", "solve_loop.py"}


def modules():
    for floor in FLOOR:
        yield from sorted((HOUSE / floor).rglob("*.py"))


def imported(path):
    """Absolute dotted names a file imports, relative ones resolved."""
    package = path.relative_to(HOUSE).with_suffix("").parts[:-1]
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            stem = ".".join(filter(None, [base, node.module or ""]))
            yield stem
            yield from (f"{stem}.{alias.name}" for alias in node.names)


def room_of(name):
    parts = name.split(".")
    return parts[0], parts[1] if len(parts) > 1 else ""


def allowed(here, there):
    """May a module of room `here` import from room `there`? Both are (floor, room)."""
    (floor, room), (other_floor, other_room) = here, there
    if FLOOR[other_floor] != FLOOR[floor]:
        if floor == "parts":
            return other_floor == "thermal" and other_room == "units"
        return FLOOR[other_floor] < FLOOR[floor]
    if floor == "thermal" or room == other_room or room in TOP:
        return True
    order = PARTS_ORDER if floor == "parts" else BUILDS_ORDER
    return other_room in order and order[other_room] < order[room]


def test_every_import_runs_down_or_leftward():
    wrong = []
    for path in modules():
        here = room_of(".".join(path.relative_to(HOUSE).with_suffix("").parts))
        for name in imported(path):
            if name.split(".")[0] in FLOOR and not allowed(here, room_of(name)):
                wrong.append(f"{path.relative_to(HOUSE)} imports {name}")
    assert not wrong, "\n".join(wrong)


def test_physics_knows_neither_django_nor_pint_beyond_its_door():
    wrong = [
        str(path.relative_to(HOUSE))
        for path in (HOUSE / "thermal").rglob("*.py")
        if path.name not in THERMAL_DOOR
        and {name.split(".")[0] for name in imported(path)} & {"django", "pint", "builds", "parts"}
    ]
    assert not wrong


def test_every_room_has_a_known_place():
    for floor, order in (("parts", PARTS_ORDER), ("builds", BUILDS_ORDER)):
        rooms = {m.name for m in pkgutil.iter_modules([str(HOUSE / floor)]) if m.ispkg} - TOP
        assert rooms <= set(order), rooms - set(order)


@pytest.mark.parametrize("floor", ["parts", "builds"])
def test_every_rooms_models_are_gathered(floor):
    gathered = set(vars(importlib.import_module(f"{floor}.models")))
    for model in apps.get_app_config(floor).get_models():
        assert model.__name__ in gathered, f"{floor}/models.py lacks {model.__name__}"
    for room in (HOUSE / floor).glob("*/models.py"):
        module = importlib.import_module(f"{floor}.{room.parent.name}.models")
        own = {n for n, v in vars(module).items() if isinstance(v, type) and v.__module__ == module.__name__}
        kept = {n for n in own if hasattr(getattr(module, n), "_meta") and not getattr(module, n)._meta.abstract}
        assert kept <= gathered


@pytest.mark.parametrize("floor", ["parts", "builds"])
def test_foreign_keys_run_as_imports_do(floor):
    wrong = []
    for model in apps.get_app_config(floor).get_models():
        for field in model._meta.get_fields():
            target = field.related_model if field.concrete and field.is_relation else None
            ours = target and target.__module__.split(".")[0] in FLOOR
            if ours and not allowed(room_of(model.__module__), room_of(target.__module__)):
                wrong.append(f"{model.__name__}.{field.name} → {target.__name__}")
    assert not wrong


def test_the_rule_itself_refuses_what_it_should():
    assert not allowed(("parts", "catalogue"), ("builds", "jobs"))
    assert not allowed(("builds", "jobs"), ("builds", "quotes"))
    assert not allowed(("thermal", "loop"), ("parts", "catalogue"))
    assert not allowed(("parts", "kinds"), ("thermal", "loop"))
    assert allowed(("builds", "quotes"), ("builds", "specs"))
    assert allowed(("parts", "workshop"), ("thermal", "units"))


def test_no_file_passes_400_lines():
    long = [
        str(path.relative_to(HOUSE))
        for pattern in ("*.py", "*.html", "*.css", "*.js")
        for path in HOUSE.rglob(pattern)
        if "migrations" not in path.parts
        and not {".venv", "var", "node_modules"} & set(path.parts)
        and len(path.read_text().splitlines()) > 400
    ]
    assert not long
