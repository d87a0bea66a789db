"""The operating point of one loop against an independent calculation of the same method.

Expected figures: the project's design, worked out separately from this code; 1 %, temperatures 0.2 K.
"""

from pathlib import Path

import pytest

from thermal.document import load_loop
from thermal.loop import solve

LOOP = Path(__file__).parents[2] / "fixtures" / "loops" / "one-radiator.json"
# fan speed: flow L/min, mean over room K, processor °C, graphics °C, air m³/h, air Pa, UA W/K, W per 10 K
FIGURES = {
    0.50: (5.151, 11.99, 46.86, 47.19, 102.2, 2.35, 48.22, 251),
    0.75: (5.147, 9.15, 44.01, 44.35, 170.3, 4.46, 51.71, 325),
    1.00: (5.145, 7.82, 42.69, 43.02, 240.4, 7.02, 55.04, 376),
    1.40: (5.144, 6.66, 41.53, 41.86, 355.0, 11.99, 59.86, 436),
}


@pytest.mark.parametrize("fan_speed", FIGURES)
def test_check_figures(fan_speed):
    result = solve(load_loop(LOOP).with_parts(front={"fan_speed": fan_speed}))
    flow, over_room, processor, graphics, air, drop, ua, per_ten = FIGURES[fan_speed]
    front = result.radiators["front"]
    assert result.flow * 60000 == pytest.approx(flow, rel=0.01)
    assert result.mean_over_room == pytest.approx(over_room, abs=0.2)
    assert result.components["processor"] == pytest.approx(processor, abs=0.2)
    assert result.components["graphics"] == pytest.approx(graphics, abs=0.2)
    assert front.air_flow * 3600 == pytest.approx(air, rel=0.01)
    assert front.air_pressure_drop == pytest.approx(drop, rel=0.01)
    assert front.ua == pytest.approx(ua, rel=0.01)
    assert front.per_ten_kelvin == pytest.approx(per_ten, rel=0.01)
    assert result.converged
    assert result.energy_residual < 1e-6
