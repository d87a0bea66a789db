import pytest

from .machine import built


@pytest.fixture
def machine(owner):
    """A finished machine, every gate passed."""
    return built(owner)
