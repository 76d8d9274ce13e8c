from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.route.forecast import Forecast
from slopebeat.analysis.route.past import own_pace
from slopebeat.analysis.route.profile import RouteGround, route_ground
from slopebeat.analysis.route.simulation import TIME_STEP_S, Conditions, Runs, Slopes, simulate
from slopebeat.analysis.route.summary import _episodes, joined_sides_s, seconds_by_side
from slopebeat.analysis.route.work import Going
from slopebeat.model.bands import Band
from slopebeat.model.spans import Spans

GOING = Going.at(False, 72.0, 0.0, 900.0)
BAND = Band(112, 131)
COUNT = 80


def humps(high_m: float = 60.0) -> RouteGround:
    along = np.linspace(0.0, 6000.0, 601)
    found = route_ground(along, 900.0 + high_m * (1.0 - np.cos(2.0 * np.pi * along / 2000.0)))
    assert found is not None
    return found


def cast(count: int = COUNT, mean: float = 122.0, spread: float = 12.0) -> Forecast:
    rng = np.random.default_rng(1)
    moving = 5000.0 * np.exp(0.1 * rng.standard_normal(count))
    normal = np.zeros(count, dtype=int)
    return Forecast(
        moving, 0.1 * moving, 0.0 * moving, np.full(count, mean), np.full(count, spread), normal, ()
    )


def slopes(gain: float, wander: float = 5.0) -> Slopes:
    return Slopes(np.array([gain, 0.0, 0.0, 0.0, 3.0]), 1e-6 * np.eye(5), wander)


def drawn(ground: RouteGround, made: Forecast, heart: Slopes) -> Runs:
    steps = ground.grade.size
    curve = own_pace([], on_bike=False)
    return simulate(ground, GOING, made, curve, heart, np.zeros(steps), np.ones(steps), 7, COUNT)


def test_every_run_takes_its_own_time_and_keeps_its_own_mean() -> None:
    made = cast()
    runs = drawn(humps(), made, slopes(10.0))
    assert runs.total_s == pytest.approx(made.total_s)
    assert np.nanmean(runs.hr_bpm, axis=1) == pytest.approx(made.mean_bpm, abs=0.2)
    assert runs.moving_share == pytest.approx(np.full(COUNT, 1.0 / 1.1))
    lasts = np.sum(np.diff(humps().distance_m) / runs.speed_mps, axis=1)
    assert lasts == pytest.approx(made.moving_s)


def test_the_heart_is_high_after_climbing_and_low_after_sinking() -> None:
    ground = humps()
    runs = drawn(ground, cast(), slopes(10.0))
    at = np.interp(runs.place_m, ground.distance_m[1:], ground.grade)
    hr = runs.hr_bpm
    known = np.isfinite(hr)
    assert np.mean(hr[known & (at > 0.12)]) > np.mean(hr[known & (at < -0.12)]) + 10.0


def test_ground_that_explains_nothing_leaves_the_spread_to_the_earlier_outings() -> None:
    level = drawn(humps(0.0), cast(), slopes(10.0))
    assert level.ground_share < 0.05
    assert np.nanstd(level.hr_bpm, axis=1) == pytest.approx(np.full(COUNT, 12.0), rel=0.05)
    steep = drawn(humps(), cast(), slopes(10.0))
    assert steep.ground_share > 0.5


def test_minutes_follow_the_ground_where_it_decides_and_always_make_up_the_whole_time() -> None:
    made = cast()
    for ground in (humps(0.0), humps()):
        runs = drawn(ground, made, slopes(10.0))
        parts = joined_sides_s(made, runs, BAND)
        assert sum(parts.values()) == pytest.approx(made.total_s)
        alone, along = made.sides_s(BAND)[1], seconds_by_side(runs, BAND)[0]
        moved = np.mean(parts[0]) - np.mean(alone)
        assert moved == pytest.approx(runs.ground_share * (np.mean(along) - np.mean(alone)), abs=60.0)


@pytest.mark.parametrize(
    ("air_c", "factor"), [(None, 1.0), (15.0, 1.0), (26.0, 1.07), (35.0, 1.196), (44.0, 1.196)]
)
def test_warm_air_raises_the_heart_rate_as_published(air_c: float | None, factor: float) -> None:
    # Ergonomics 1975;18:539, doi:10.1080/00140137508931489: 1.4 % per degree between 21 and 35 degrees C.
    assert Conditions(temperature_c=air_c).heat_factor == pytest.approx(factor)


def test_episodes_of_all_runs_at_once_are_those_of_each_run_alone() -> None:
    """The second count is that of a recorded outing, one run at a time."""
    rng = np.random.default_rng(5)
    # Runs of ones and noughts of any length; some are out of band at their first and last step.
    out = np.repeat(rng.random((60, 40)) < 0.5, rng.integers(1, 6, 40), axis=1)
    run, first = _episodes(out)
    steps = TIME_STEP_S * np.arange(out.shape[1] + 1)
    alone = [Spans.from_mask(steps, np.append(row, False)).bridged(15.0).at_least(10.0) for row in out]
    expected = [(number, start / TIME_STEP_S) for number, one in enumerate(alone) for start, _ in one]
    assert list(zip(run.tolist(), first.tolist(), strict=True)) == expected
    assert len(expected) > 60


def test_a_load_is_carried_until_it_is_set_down() -> None:
    load = Conditions(load_kg=12.0, load_until_m=500.0).load_at(np.array([0.0, 499.0, 500.0, 900.0]))
    assert load.tolist() == [12.0, 12.0, 0.0, 0.0]
