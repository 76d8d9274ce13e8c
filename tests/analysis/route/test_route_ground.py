"""Ways cut into steps, and published walking times through them."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.route.profile import MOST_STEPS, climbs_of, repeated_stretch, route_ground
from slopebeat.analysis.route.references import references


def hill(length_m: float = 4000.0, gain_m: float = 400.0) -> tuple[np.ndarray, np.ndarray]:
    """1 km level, a steady climb, 1 km level."""
    along = np.arange(0.0, length_m + 2000.1, 20.0)
    return along, 1000.0 + gain_m * np.clip((along - 1000.0) / length_m, 0.0, 1.0)


def test_a_steady_rise_keeps_its_grade_to_both_ends() -> None:
    along = np.linspace(0.0, 8000.0, 161)
    ground = route_ground(along, 500.0 + 0.1125 * along)
    assert ground is not None
    assert ground.grade == pytest.approx(0.1125, abs=1e-6)
    assert ground.elevation_m[[0, -1]] == pytest.approx([500.0, 1400.0], abs=1e-3)


def test_a_climb_is_found_with_its_gain_and_grade() -> None:
    ground = route_ground(*hill())
    assert ground is not None
    (climb,) = climbs_of(ground)
    assert climb.gain_m == pytest.approx(400.0, abs=2.0)
    assert climb.grade_mean == pytest.approx(0.1, abs=0.003)
    assert [climb.start_m, climb.end_m] == pytest.approx([1000.0, 5000.0], abs=40.0)


def test_standing_with_the_barometer_running_makes_no_cliff() -> None:
    along = np.concatenate(
        [np.arange(0.0, 1000.0, 5.0), np.full(300, 1000.0), np.arange(1000.0, 2000.0, 5.0)]
    )
    height = np.concatenate([np.full(200, 500.0), np.linspace(500.0, 503.0, 300), np.full(200, 503.0)])
    ground = route_ground(along, height)
    assert ground is not None
    assert np.abs(ground.grade).max() < 0.06


def test_missing_elevation_is_level_and_a_long_way_gets_longer_steps() -> None:
    along = np.linspace(0.0, 120_000.0, 4001)
    ground = route_ground(along, np.full(along.shape, np.nan))
    assert ground is not None
    assert not ground.grade.any()
    assert ground.grade.size == MOST_STEPS
    assert route_ground(np.array([0.0, 3.0]), np.array([1.0, 1.0])) is None


def test_an_extra_lap_adds_its_length_and_comes_back_to_its_height() -> None:
    along, height = hill()
    # Up and down again is a lap: it ends where it began.
    there_and_back = route_ground(
        np.concatenate([along, along + along[-1]]), np.concatenate([height, height[::-1]])
    )
    assert there_and_back is not None
    longer = repeated_stretch(there_and_back, 0.0, 12_000.0, 2)
    assert longer.length_m == pytest.approx(36_000.0, rel=1e-6)
    assert longer.elevation_m[-1] == pytest.approx(1000.0, abs=1.0)
    with pytest.raises(ValueError, match="lap"):
        repeated_stretch(there_and_back, 500.0, 90_000.0, 1)


@pytest.mark.parametrize(
    ("gain_m", "hours"),
    # The clubs' trail concept (2009) quoting DIN 33466: 8 km with 900 m up is 4 h, with 1200 m up 5 h.
    [(900.0, 4.0), (1200.0, 5.0)],
)
def test_published_walking_time_of_a_whole_way(gain_m: float, hours: float) -> None:
    along = np.linspace(0.0, 8000.0, 401)
    ground = route_ground(along, 500.0 + gain_m * along / 8000.0)
    assert ground is not None
    din, naismith, tobler = references(ground, gain_m, 0.0)
    assert din.seconds / 3600.0 == pytest.approx(hours, rel=1e-6)
    assert naismith.seconds / 3600.0 == pytest.approx(8.0 / 5.0 + gain_m / 600.0, rel=1e-6)
    # Tobler 1993 on one grade: distance over 6 exp(-3.5 |s + 0.05|) km/h.
    assert tobler.seconds / 3600.0 == pytest.approx(
        8.0 / (6.0 * np.exp(-3.5 * (gain_m / 8000.0 + 0.05))), rel=1e-3
    )
