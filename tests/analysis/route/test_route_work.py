"""Work and speed turned round, checked one against the other and against the plain equations."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.response.work_rate import foot_w_per_kg, road_load_w
from slopebeat.analysis.route.work import SLOWEST_MPS, Going, speed_at_bpm

WALKER = Going.at(False, 70.0, 14.0, 1500.0)
RIDER = Going.at(True, 70.0, 14.0, 1500.0)


def test_work_is_that_of_the_cost_curves() -> None:
    assert float(WALKER.work_w_per_kg(1.2, 0.1, 14.0)) == pytest.approx(
        float(foot_w_per_kg(1.2, 0.1)) * 84 / 70
    )
    power = float(road_load_w(4.0, 0.05, 84.0, air_kg_m3=RIDER.air_kg_m3))
    assert float(RIDER.work_w_per_kg(4.0, 0.05)) == pytest.approx(power / 70.0)
    assert float(RIDER.work_w_per_kg(4.0, -0.08)) == 0.0


@pytest.mark.parametrize("going", [WALKER, RIDER], ids=["foot", "bike"])
def test_the_speed_for_a_work_rate_costs_that_work_rate(going: Going) -> None:
    grade = np.array([0.0, 0.04, 0.08, 0.15])
    wanted = np.full(4, 3.0 if going.on_bike else 7.0)
    assert going.work_w_per_kg(going.speed_for(wanted, grade), grade) == pytest.approx(wanted, rel=1e-3)


def test_a_load_slows_uphill_at_equal_work_and_not_downhill() -> None:
    grade, load = np.array([-0.15, 0.12]), np.full(2, 15.0)
    bare = np.array([1.2, 0.9])
    loaded = WALKER.with_load(bare, grade, load)
    assert loaded[0] == bare[0]
    assert WALKER.work_w_per_kg(loaded[1], 0.12, 15.0) == pytest.approx(
        WALKER.work_w_per_kg(0.9, 0.12), rel=1e-3
    )


COEFFICIENTS = np.array([[55.0, 0.001, 11.0, 4.0, -3.0], [62.0, 0.001, 9.0, -5.0, 0.0]])


@pytest.mark.parametrize("going", [WALKER, RIDER], ids=["foot", "bike"])
def test_the_speed_to_hold_settles_at_the_heart_rate_to_hold(going: Going) -> None:
    grade, none = np.array([0.02, 0.06, 0.1]), np.zeros(3)
    coefficients = COEFFICIENTS * ([1.0, 1.0, 2.2, 1.0, 1.0] if going.on_bike else 1.0)
    wanted = np.array([[112.0, 118.0, 122.0], [115.0, 118.0, 125.0]])
    speed = speed_at_bpm(going, coefficients, wanted, grade, none)
    for run in range(2):
        rest, _, gain, up, _ = coefficients[run]
        settled = rest + gain * going.work_w_per_kg(speed[run], grade) + up * speed[run] * grade
        assert settled == pytest.approx(wanted[run], abs=0.3)


def test_too_little_is_the_slowest_speed_and_too_much_is_none() -> None:
    grade, none = np.array([0.1]), np.zeros(1)
    least = speed_at_bpm(WALKER, COEFFICIENTS[:1], np.array([[60.0]]), grade, none)
    most = speed_at_bpm(WALKER, COEFFICIENTS[:1], np.array([[900.0]]), grade, none)
    assert float(least[0, 0]) == SLOWEST_MPS[False]
    assert np.isinf(most[0, 0])
