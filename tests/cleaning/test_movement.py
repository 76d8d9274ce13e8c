from __future__ import annotations

import numpy as np
import pytest

from slopebeat.cleaning.movement import movement
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.samples import COLUMNS

T = np.arange(1800.0)
STILL = np.zeros(T.size)


def columns(**given: np.ndarray) -> dict[str, np.ndarray]:
    return {name: np.full(T.shape, np.nan) for name in COLUMNS} | {"t_s": T} | given


def with_a_stop(speed: float, start: int, end: int) -> np.ndarray:
    step = np.full(T.size, speed)
    step[start:end] = 0.0
    return np.concatenate(([0.0], np.cumsum(step[:-1])))


def test_a_stop_is_found_where_the_distance_stands() -> None:
    moved = movement(columns(distance_m=with_a_stop(1.2, 600, 900)), STILL, STILL, on_bike=False)
    assert np.sum(~moved.moving) == pytest.approx(300, abs=12)
    assert not moved.moving[620:880].any()
    assert moved.moving[:590].all()
    assert np.allclose(moved.speed_mps[100:500], 1.2)


def test_a_short_standstill_is_part_of_moving() -> None:
    moved = movement(columns(distance_m=with_a_stop(1.2, 600, 606)), STILL, STILL, on_bike=False)
    assert moved.moving.all()


def test_a_slow_steep_climb_is_not_standing() -> None:
    slow = columns(distance_m=0.15 * T)
    assert not movement(slow, STILL, STILL, on_bike=False).moving[:-1].any()
    assert movement(slow, np.full(T.size, 0.08), STILL, on_bike=False).moving.all()


def test_speed_serves_where_there_is_no_distance_and_position_where_there_is_neither() -> None:
    speed = np.full(T.size, 2.0)
    assert movement(columns(speed_mps=speed), STILL, STILL, on_bike=False).distance_m[-1] == pytest.approx(
        2.0 * 1799
    )
    north = columns(lat_deg=46.0 + T * 1.0 / 111_194.9, lon_deg=np.full(T.size, 7.0))
    walked = movement(north, STILL, STILL, on_bike=False)
    assert walked.distance_m[-1] == pytest.approx(1799.0, rel=1e-4)
    assert np.allclose(walked.speed_mps[50:-50], 1.0, rtol=1e-3)


def test_jitter_around_a_resting_place_is_standing() -> None:
    rng = np.random.default_rng(4)
    jitter = rng.normal(0.0, 0.25, (2, T.size)) / 111_194.9
    lat, lon = 46.0 + jitter[0], 7.0 + jitter[1]
    moved = movement(columns(lat_deg=lat, lon_deg=lon), STILL, STILL, on_bike=False)
    assert np.mean(moved.moving) < 0.05


def test_a_marked_jump_adds_no_distance() -> None:
    distance = 1.2 * T + np.where(T >= 900, 5000.0, 0.0)
    mark = Mark(899.0, 900.0, Channel.POSITION, Reason.POSITION_JUMP)
    moved = movement(columns(distance_m=distance), STILL, STILL, on_bike=False, marks=(mark,))
    assert moved.distance_m[-1] == pytest.approx(1.2 * 1798)


def test_distance_never_falls() -> None:
    distance = 1.2 * T
    distance[700:710] -= 50.0
    assert np.all(
        np.diff(movement(columns(distance_m=distance), STILL, STILL, on_bike=False).distance_m) >= 0
    )


def on_a_treadmill(speed: float) -> np.ndarray:
    """Whether moving: the counted distance grows while the position only jitters about one place."""
    jitter = np.random.default_rng(4).normal(0.0, 0.25, (2, T.size)) / 111_194.9
    place = {"lat_deg": 46.0 + jitter[0], "lon_deg": 7.0 + jitter[1]}
    return movement(columns(distance_m=speed * T, **place), STILL, STILL, on_bike=False).moving


def test_jitter_explains_only_a_little_speed_on_the_spot() -> None:
    """Jitter adds at most a few times the 0.2 m/s under which one stands: 0.4 m/s does, 0.7 m/s is a move."""
    assert not on_a_treadmill(0.4)[:-1].any()
    assert on_a_treadmill(0.7).all()
