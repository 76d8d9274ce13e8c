"""Causes: parts of the heart rate that add up, and each second named after the largest of them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.recordings import track
from slopebeat.analysis.account.causes import ORDER, Cause, CauseFinder, Causes, drift_shown
from slopebeat.analysis.account.heart_parts import HeartParts, heart_parts
from slopebeat.analysis.account.time_account import time_account
from slopebeat.analysis.response.fit import FitStatus, Response, fit_response
from slopebeat.analysis.response.work_rate import steady_work, work_rate_w_per_kg
from slopebeat.model.bands import Band
from slopebeat.model.message import message
from slopebeat.model.track import Track
from slopebeat.review.words.causes import CAUSE_WORDS

BAND = Band(112, 131)
NO_FIT = Response(FitStatus.TOO_SHORT, message("response.no_samples"), 0.0, {})


def parts_of(
    n: int, usual: float = 122.0, drift_bpm_per_h: float | None = None, **parts: object
) -> HeartParts:
    """Parts of ``n`` samples, zero where not given."""
    arrays: dict[str, Any] = {
        name: np.zeros(n) for name in ("drift", "standing", "steep", "chosen", "rest", "place")
    }
    arrays |= {name: np.broadcast_to(np.asarray(part, float), (n,)) for name, part in parts.items()}
    rate = None if drift_bpm_per_h is None else (drift_bpm_per_h, drift_bpm_per_h - 1, drift_bpm_per_h + 1)
    hours = np.maximum(np.arange(n) - 600.0, 0) / 3600
    return HeartParts(usual_bpm=usual, hours=hours, drift_bpm_per_h=rate, work_known=True, **arrays)


def causes_of(parts: HeartParts, **columns: object) -> dict[Cause, float]:
    found = CauseFinder(track(np.arange(float(parts.place.size)), **columns), parts).find(BAND)  # type: ignore[arg-type]
    return {cause: seconds for cause, seconds in found.seconds.items() if seconds > 0}


def test_each_cause_is_found_where_it_is_the_largest_part() -> None:
    n = 3600
    late = np.where(np.arange(n) < 600, 120.0, 100.0)
    standing = np.zeros(n, dtype=bool)
    assert causes_of(parts_of(n), hr=120.0) == {}
    assert causes_of(parts_of(n, steep=30.0, chosen=5.0, place=0.2), hr=150.0) == {Cause.STEEP_CLIMB: 3599.0}
    assert causes_of(parts_of(n, chosen=30.0, place=0.1), hr=150.0) == {Cause.FAST_CLIMB: 3599.0}
    assert causes_of(parts_of(n, chosen=30.0, place=0.01), hr=150.0) == {Cause.TOO_FAST: 3599.0}
    assert causes_of(parts_of(n, drift=20.0, drift_bpm_per_h=9.0), hr=140.0) == {Cause.DRIFT: 3599.0}
    assert causes_of(parts_of(n, usual=150.0), hr=150.0) == {Cause.USUAL_TOO_HIGH: 3599.0}
    assert causes_of(parts_of(n, rest=30.0), hr=150.0) == {Cause.MORE_THAN_WORK: 3599.0}
    assert causes_of(parts_of(n), hr=float("nan")) == {Cause.SENSOR_DOUBT: 3599.0}
    assert causes_of(parts_of(n, chosen=-20.0, place=-0.1), hr=late) == {Cause.DESCENT: 2999.0}
    assert causes_of(parts_of(n, chosen=-20.0, place=0.0), hr=late) == {Cause.EASY_GROUND: 2999.0}
    assert causes_of(parts_of(n, chosen=-20.0, place=0.1), hr=late) == {Cause.EASY_CLIMB: 2999.0}
    assert causes_of(parts_of(n, usual=100.0), hr=late) == {Cause.USUAL_TOO_LOW: 2999.0}
    assert causes_of(parts_of(n, rest=-30.0), hr=late) == {Cause.LESS_THAN_WORK: 2999.0}
    assert causes_of(parts_of(n), hr=100.0, moving=standing)[Cause.STOP] > 2900


@pytest.mark.parametrize(
    ("place", "above", "below"),
    [
        (-0.035, Cause.TOO_FAST, Cause.DESCENT),
        (-0.025, Cause.TOO_FAST, Cause.EASY_GROUND),
        (0.025, Cause.TOO_FAST, Cause.EASY_GROUND),
        (0.035, Cause.FAST_CLIMB, Cause.EASY_CLIMB),
    ],
)
def test_ground_is_a_climb_or_a_descent_from_three_percent_on(
    place: float, above: Cause, below: Cause
) -> None:
    n = 3600
    late = np.where(np.arange(n) < 600, 120.0, 100.0)
    assert causes_of(parts_of(n, chosen=30.0, place=place), hr=150.0) == {above: 3599.0}
    assert causes_of(parts_of(n, chosen=-20.0, place=place), hr=late) == {below: 2999.0}


def test_a_short_spell_off_the_climbs_is_a_surge_a_long_one_is_not() -> None:
    t = np.arange(3600.0)
    short, long = (t >= 1000) & (t < 1150), (t >= 2000) & (t < 2400)
    hr = np.where(short | long, 150.0, 120.0)
    assert causes_of(parts_of(3600, chosen=30.0), hr=hr) == {Cause.SURGE: 150.0, Cause.TOO_FAST: 400.0}


def test_the_first_minutes_under_the_band_are_warming_up_until_it_is_reached() -> None:
    t = np.arange(3600.0)
    hr = np.where((t >= 200) & (t < 400), 120.0, 100.0)
    found = causes_of(parts_of(3600, chosen=-20.0), hr=hr)
    assert found == {Cause.WARM_UP: 200.0, Cause.EASY_GROUND: 3199.0}


def test_drift_is_named_only_where_its_interval_lies_over_zero() -> None:
    sure, unsure = parts_of(3600, drift=20.0, drift_bpm_per_h=9.0), parts_of(3600, drift=20.0)
    wide = replace(sure, drift_bpm_per_h=(9.0, -9.0, 27.0))
    assert drift_shown(sure)
    # 80 % of 9 +- 18 (95 %) is 9 +- 11.8.
    assert not drift_shown(wide)
    assert not drift_shown(unsure)
    assert Cause.DRIFT not in causes_of(replace(wide, rest=np.full(3600, -20.0)), hr=140.0)


def test_the_interval_of_the_seconds_of_drift_holds_them() -> None:
    t = np.arange(7200.0)
    drift = np.maximum(t - 600, 0) / 3600 * 10.0
    parts = parts_of(7200, drift_bpm_per_h=10.0, drift=drift, chosen=8.0, usual=115.0)
    found = CauseFinder(track(t, hr=115.0 + drift + 8.0), parts).find(BAND)
    assert found.drift_interval_s is not None
    low, high = found.drift_interval_s
    assert low <= found.seconds[Cause.DRIFT] <= high
    assert low < high


def test_without_work_no_cause_above_is_made_up() -> None:
    ground = track(np.arange(3600.0), hr=150.0)
    found = CauseFinder(
        ground, heart_parts(ground, np.full(3600, np.nan), NO_FIT, steady_work(False, 75.0))
    ).find(BAND)
    assert found.seconds[Cause.CANNOT_TELL] == 3599.0
    assert not found.drift_known


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_the_causes_add_up_to_all_recorded_time_that_was_not_in_band(seed: int) -> None:
    rng = np.random.default_rng(seed)
    t = np.cumsum(rng.choice([1.0, 3.0, 40.0], 400)) - 1.0
    t -= t[0]
    hr = np.where(rng.random(400) < 0.1, np.nan, rng.integers(95, 150, 400).astype(float))
    ground = track(t, hr=hr, grade=rng.uniform(-0.2, 0.2, 400), moving=rng.random(400) < 0.8)
    account = time_account(ground, BAND)
    found = CauseFinder(ground, _parts(ground)).find(BAND)
    out = account.above_s + account.below_s + account.no_hr_s
    assert sum(found.seconds.values()) == pytest.approx(out, abs=1e-6)
    assert set(found.seconds) == set(Cause) == set(CAUSE_WORDS)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_one_finder_names_for_every_band_what_is_named_second_by_second(seed: int) -> None:
    """A second implementation, in plain Python: the first of the largest parts, also where two are alike."""
    rng = np.random.default_rng(seed)
    n = 60
    few: dict[str, Any] = {
        name: rng.integers(-8, 9, n).astype(float) for name in ("steep", "chosen", "standing", "rest")
    }
    few["rest"][rng.random(n) < 0.1] = np.nan
    place = rng.choice([-0.1, 0.0, 0.1], n)
    parts = parts_of(n, usual=float(rng.integers(100, 140)), place=place, drift=np.zeros(n), **few)
    hr, moving = rng.integers(95, 150, n).astype(float), rng.random(n) < 0.8
    ground = track(np.arange(float(n)) + 1000.0, hr=hr, moving=moving)
    finder = CauseFinder(ground, parts)
    for lower, upper in ((100, 110), (112, 131), (112, 140)):
        code = finder.find(Band(lower, upper)).code
        for at in np.flatnonzero((hr > upper) | ((hr < lower) & moving)).tolist():
            named = _ranked(parts, at, lower, upper, above=bool(hr[at] > upper))
            warming = hr[at] < lower and ORDER[code[at]] is Cause.WARM_UP
            assert warming or ORDER[code[at]] is named


def _ranked(parts: HeartParts, at: int, lower: int, upper: int, above: bool) -> Cause:
    """The cause of a second; spells this short are surges on gentle ground."""
    steep, chosen, standing, rest = (
        float(getattr(parts, name)[at]) for name in ("steep", "chosen", "standing", "rest")
    )
    unexplained = -np.inf if np.isnan(rest) else 0.5 * rest
    if above:
        fast = Cause.FAST_CLIMB if parts.place[at] > 0.03 else Cause.SURGE
        lifts = [
            (steep, Cause.STEEP_CLIMB),
            (chosen + standing, fast),
            (parts.usual_bpm - upper, Cause.USUAL_TOO_HIGH),
            (unexplained, Cause.MORE_THAN_WORK),
        ]
        return max(lifts, key=lambda pair: pair[0])[1]
    easy = Cause.EASY_CLIMB if parts.place[at] > 0.03 else Cause.EASY_GROUND
    unexplained = -np.inf if np.isnan(rest) else -0.5 * rest
    drops = [
        (-standing, Cause.STOP),
        (-chosen - steep, Cause.DESCENT if parts.place[at] < -0.03 else easy),
        (lower - parts.usual_bpm, Cause.USUAL_TOO_LOW),
        (unexplained, Cause.LESS_THAN_WORK),
    ]
    return max(drops, key=lambda pair: pair[0])[1]


def _parts(ground: Track) -> HeartParts:
    work = work_rate_w_per_kg(ground, 75.0, np.zeros(len(ground)), 0.0, np.full(len(ground), np.nan))
    return heart_parts(ground, work, fit_response(ground, work), steady_work(False, 75.0))


def hilly(hours: float = 2.0, drift_bpm_per_h: float = 0.0) -> Track:
    """A walk up and down every ten minutes whose heart answers work with 20 bpm per W/kg and 58 s."""
    t = np.arange(hours * 3600.0)
    grade = np.where((t // 600) % 2 == 0, 0.10, -0.05)
    ground = track(t, grade=grade, speed=1.2)
    work = work_rate_w_per_kg(ground, 75.0, np.zeros(t.size), 0.0, np.full(t.size, np.nan))
    lagged = np.empty(t.size)
    state, keep = float(work[0]), float(np.exp(-1 / 57.6))
    for at, now in enumerate(work):
        lagged[at] = state
        state = keep * state + (1 - keep) * now
    noise = np.convolve(np.random.default_rng(3).normal(0, 4, t.size), np.ones(20) / 20, mode="same")
    ground.hr_bpm[:] = 60.0 + 14.0 * lagged + drift_bpm_per_h * np.maximum(t - 600, 0) / 3600 + noise
    return ground


@pytest.mark.parametrize("drift", [0.0, 9.0])
def test_the_parts_add_up_to_the_heart_rate(drift: float) -> None:
    ground = hilly(drift_bpm_per_h=drift)
    parts = _parts(ground)
    total = parts.usual_bpm + parts.drift + parts.standing + parts.steep + parts.chosen + parts.rest
    assert total == pytest.approx(ground.hr_bpm, abs=1e-6)
    # What nothing explains is the noise that was put in, once the heart has settled.
    assert float(np.sqrt(np.mean(parts.rest[900:] ** 2))) < 3.0


def test_a_made_up_outing_is_read_as_it_was_made() -> None:
    """Above on the climbs by their work, below on the descents; nothing drifts."""
    ground = hilly()
    low, high = np.percentile(ground.hr_bpm[900:], [45, 55])
    found = CauseFinder(ground, _parts(ground)).find(Band(int(low), int(high)))
    total = sum(found.seconds.values())
    climbing = found.seconds[Cause.STEEP_CLIMB] + found.seconds[Cause.FAST_CLIMB]
    assert climbing > 0.35 * total
    assert found.seconds[Cause.DESCENT] > 0.3 * total
    assert found.seconds[Cause.DRIFT] < 0.02 * total


def test_the_main_cause_of_a_stretch_is_that_of_most_seconds() -> None:
    t = np.arange(1000.0)
    ground = track(t, hr=np.where(t < 880, 150.0, np.where(t < 900, 120.0, 150.0)))
    found: Causes = CauseFinder(ground, parts_of(1000, chosen=30.0, place=np.where(t < 880, 0.1, 0.0))).find(
        BAND
    )
    assert found.main_cause(ground, 0.0, 999.0) is Cause.FAST_CLIMB
    assert found.main_cause(ground, 900.0, 999.0) is Cause.SURGE
    assert CauseFinder(track(t), parts_of(1000)).find(BAND).main_cause(ground, 0.0, 999.0) is None
