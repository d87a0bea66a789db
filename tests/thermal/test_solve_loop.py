"""manage.py solve_loop: tables, JSON lines, and clear refusals."""

import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

HOUSE = Path(__file__).parents[2]
LOOP = HOUSE / "fixtures" / "loops" / "one-radiator.json"


def run(*args):
    out = StringIO()
    call_command("solve_loop", *map(str, args), stdout=out)
    return out.getvalue()


def refuse(*args):
    """(stdout, stderr lines) of a run that must end with status 2."""
    out, err = StringIO(), StringIO()
    with pytest.raises(SystemExit) as leaving:
        call_command("solve_loop", *map(str, args), stdout=out, stderr=err, no_color=True)
    assert leaving.value.code == 2
    return out.getvalue(), err.getvalue().splitlines()


def test_one_table_a_file():
    shown = run(LOOP, LOOP)
    assert shown.count("one-radiator.json") == 2
    assert "5.147 L/min" in shown
    assert "9.15 K over the room" in shown
    assert "170.3" in shown


def test_one_json_line_a_file():
    lines = run("--json", LOOP, LOOP).splitlines()
    assert len(lines) == 2
    assert json.loads(lines[0])["flow"] * 60000 == pytest.approx(5.147, rel=0.001)


def test_the_range_on_request():
    written = json.loads(run("--json", "--spread", LOOP))
    low, middle, high = written["spread"]["coolant.mean"]
    assert low < middle < high
    assert middle == pytest.approx(written["coolant"]["mean"], abs=0.2)
    shown = run("--spread", LOOP)
    assert "10 %" in shown
    assert "components.graphics, °C" in shown


def test_a_fault_names_file_and_field(tmp_path):
    bad = tmp_path / "bad.json"
    document = json.loads(LOOP.read_text())
    document["components"][0]["heat"] = "-1 W"
    document["room_temperature"] = "warm"
    bad.write_text(json.dumps(document))
    out, lines = refuse(LOOP, bad)
    assert out == ""
    assert len(lines) == 2
    assert all(line.startswith(f"{bad}: ") for line in lines)
    assert "room_temperature: “warm” is not one number" in lines[0]
    assert "pump.heat: “-1 W” is too low" in lines[1]


def test_faults_of_several_files_are_all_told(tmp_path):
    out, lines = refuse(tmp_path / "a.json", tmp_path / "b.json", "--json")
    assert out == ""
    assert ["a.json: file" in lines[0], "b.json: file" in lines[1]] == [True, True]


def test_too_much_heat_is_a_fault_too(tmp_path):
    hot = tmp_path / "hot.json"
    document = json.loads(LOOP.read_text())
    document["components"][1]["heat"] = "2900 W"
    document["components"][3]["fan_speed"] = 0.2
    hot.write_text(json.dumps(document))
    out, lines = refuse(hot)
    assert out == ""
    assert "coolant: would reach" in lines[0]


def test_it_needs_no_secret_and_no_database(tmp_path):
    """As a program, with nothing in the environment but where to find itself."""
    done = subprocess.run(
        [sys.executable, HOUSE / "manage.py", "solve_loop", "--json", LOOP],
        capture_output=True, text=True, check=False, cwd=tmp_path, env={"PATH": os.environ["PATH"]},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["converged"] is True
