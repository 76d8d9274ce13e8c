"""Simulated outings against closed forms: one steady slope, one heart without wander."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from slopebeat.analysis.route.draws import Draws
from slopebeat.analysis.route.profile import Ground
from slopebeat.analysis.route.simulation import LEAST_SHARE, TIME_STEP_S, Conditions, Runs, simulate
from slopebeat.analysis.route.work import STANDING_W_PER_KG, Going
from slopebeat.model.past import GRADES

WALKER = Going.at(False, 70.0, 0.0, 1000.0)
TAU_S, REST, GAIN, DRIFT = 50.0, 60.0, 10.0, 6.0 / 3600.0


def slope(length_m: float = 3000.0, grade: float = 0.1) -> Ground:
    along = np.linspace(0.0, length_m, round(length_m / 10.0) + 1)
    return Ground(along, 1000.0 + grade * along, np.full(along.size - 1, grade))


def sure(runs: int = 2, speed_mps: float = 0.8, **change: object) -> Draws:
    """Draws without any spread: one speed on every grade, no stops, no wander."""
    plain = Draws(
        coefficients=np.tile([REST, DRIFT, GAIN, 0.0, 0.0], (runs, 1)),
        tau_s=np.full(runs, TAU_S),
        log_mps=np.full((runs, GRADES.size), np.log(speed_mps)),
        extra_w_per_kg=np.zeros(GRADES.size),
        stops_per_h=0.0,
        stop_s=np.zeros(0),
        wander_bpm2=np.zeros(4),
        rest_wander_bpm2=np.zeros(4),
        seed=1,
    )
    return replace(plain, **change)  # type: ignore[arg-type]


def times(runs: Runs) -> np.ndarray:
    return TIME_STEP_S * np.arange(runs.hr_bpm.shape[1])


def test_time_is_distance_over_speed() -> None:
    runs = simulate(slope(), WALKER, sure(), Conditions())
    assert runs.total_s == pytest.approx(3000.0 / 0.8)
    assert float(runs.lasts_s[0].sum()) == pytest.approx(3000.0 / 0.8)


def test_heart_rate_rises_by_the_exponential_and_drifts() -> None:
    runs = simulate(slope(), WALKER, sure(), Conditions())
    t, work = times(runs), float(WALKER.work_w_per_kg(0.8, 0.1))
    settled = REST + GAIN * work
    start = REST + GAIN * STANDING_W_PER_KG
    expected = settled + (start - settled) * np.exp(-t / TAU_S) + DRIFT * t
    inside = np.isfinite(runs.hr_bpm[0])
    assert runs.hr_bpm[0][inside] == pytest.approx(expected[inside], abs=1e-6)


def test_hours_already_out_are_drifted_and_warm_air_raises_the_heart_rate() -> None:
    cool = simulate(slope(), WALKER, sure(), Conditions()).hr_bpm[0, 100]
    late = simulate(slope(), WALKER, sure(), Conditions(hours_out=3.0)).hr_bpm[0, 100]
    assert late - cool == pytest.approx(3.0 * 6.0)
    # 1.4 % per degree between 21 and 35 (Ergonomics 1975;18:539), nothing below or beyond.
    for celsius, factor in ((10.0, 1.0), (21.0, 1.0), (31.0, 1.14), (35.0, 1.196), (45.0, 1.196)):
        warm = simulate(slope(), WALKER, sure(), Conditions(temperature_c=celsius)).hr_bpm[0, 100]
        assert warm / cool == pytest.approx(factor)


def test_a_load_is_carried_as_far_as_it_is_carried() -> None:
    bare, loaded, part = (
        simulate(slope(), WALKER, sure(), day).total_s[0]
        for day in (Conditions(), Conditions(15.0), Conditions(15.0, load_until_m=1500.0))
    )
    assert loaded > 1.1 * bare
    assert part == pytest.approx(0.5 * (bare + loaded))


def test_stops_add_their_time_and_let_the_heart_rest() -> None:
    halting = sure(runs=200, stops_per_h=4.0, stop_s=np.array([300.0]))
    runs = simulate(slope(), WALKER, halting, Conditions())
    extra = runs.total_s - 3000.0 / 0.8
    assert extra % 300.0 == pytest.approx(0.0, abs=1e-6)
    # 4 an hour over 62.5 minutes of moving: 4.17 stops of five minutes on average.
    assert extra.mean() == pytest.approx(4.17 * 300.0, rel=0.1)
    resting = REST + GAIN * STANDING_W_PER_KG + DRIFT * times(runs)
    assert float(np.nanmin(runs.hr_bpm[:, 60:] - resting[60:])) == pytest.approx(0.0, abs=1.0)


def test_holding_keeps_the_settled_heart_rate_at_the_one_to_hold() -> None:
    hold = simulate(slope(), WALKER, sure(), Conditions(), hold_bpm=115.0)
    usual = simulate(slope(), WALKER, sure(), Conditions())
    late = np.isfinite(hold.hr_bpm[0]) & (times(hold) > 600.0)
    assert hold.hr_bpm[0][late] == pytest.approx(115.0, abs=0.7)
    assert usual.hr_bpm[0][400] > 120.0
    assert (hold.total_s > usual.total_s).all()
    assert hold.held.all()
    # With drift the speed to hold falls along the way.
    assert (np.diff(hold.speed_mps[0]) <= 1e-9).all()


def test_who_stays_under_the_heart_rate_is_not_slowed() -> None:
    hold = simulate(slope(), WALKER, sure(speed_mps=0.3), Conditions(), hold_bpm=140.0)
    assert not hold.held.any()
    assert hold.total_s == pytest.approx(3000.0 / 0.3)


def test_nobody_slows_to_a_crawl_for_a_heart_rate_out_of_reach() -> None:
    hold = simulate(slope(), WALKER, sure(), Conditions(hours_out=12.0), hold_bpm=90.0)
    assert hold.total_s == pytest.approx(3000.0 / (LEAST_SHARE * 0.8))


def test_the_wander_has_the_variance_it_was_given() -> None:
    variances = np.array([2.0, 4.0, 3.0, 0.0])
    runs = simulate(slope(9000.0), WALKER, sure(runs=60, wander_bpm2=variances), Conditions())
    still = simulate(slope(9000.0), WALKER, sure(), Conditions())
    left = runs.hr_bpm - still.hr_bpm[:1]
    assert float(np.nanvar(left)) == pytest.approx(9.0, rel=0.1)
