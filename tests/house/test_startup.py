"""Start-up stays near bare Django's: heavy libraries are imported where they are used."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parent.parent.parent


@pytest.fixture(scope="module")
def loaded():
    """Names of the modules in memory once all addresses are known, and whether a pint registry was made."""
    said = (
        "import django, sys; django.setup(); import builds.urls; "
        "print(' '.join(sys.modules)); "
        "import gc; print(any(type(o).__name__ == 'UnitRegistry' for o in gc.get_objects()))"
    )
    env = os.environ | {"DJANGO_SETTINGS_MODULE": "builds.settings"}
    run = subprocess.run([sys.executable, "-c", said], cwd=HOUSE, env=env, capture_output=True, text=True, check=True)
    modules, registry = run.stdout.strip().splitlines()[-2:]
    return {"modules": set(modules.split()), "registry": registry}


@pytest.mark.parametrize("heavy", ["weasyprint", "scipy", "pikepdf", "matplotlib", "CoolProp", "hypothesis"])
def test_it_is_not_there_at_start_up(loaded, heavy):
    assert "builds.quotes.views" in loaded["modules"]
    assert heavy not in loaded["modules"]


def test_no_unit_registry_is_made_at_start_up(loaded):
    assert loaded["registry"] == "False"
