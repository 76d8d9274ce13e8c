"""Heart rate at equal speed, on invented passes whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from slopebeat.analysis.ground.equal_speed import (
    DAY_BPM,
    PASS_BPM,
    PRIOR_SLOPE,
    SPEED,
    Passes,
    at_equal_speed,
    day_levels,
    later_half,
    pass_sd_bpm,
    slope_between_days,
)
from slopebeat.model.track import Array


def season(
    seed: int, days: int = 40, places: int = 12, slope: float = 70.0, fitter: float = 0.0, faster: float = 0.0
) -> tuple[Passes, Array]:
    """Passes over some of the places on each day, and the true level of each day.

    Heart rate falls by ``fitter`` bpm over the season at equal speed while the athlete goes ``faster``, in
    the logarithm of speed: who is fitter goes faster.
    """
    rng = np.random.default_rng(seed)
    own = rng.normal(135.0, 8.0, places)
    level = rng.normal(0.0, DAY_BPM, days) - fitter * np.arange(days) / (days - 1)
    rows = []
    for day in range(days):
        usual = rng.normal(0.0, 0.12) + faster * day / (days - 1)
        for place in rng.choice(places, int(rng.integers(1, places)), replace=False):
            effort = 1.9 + usual + rng.normal(0.0, 0.05)
            hr = own[place] + slope * (effort - 1.9) + level[day] + rng.normal(0.0, PASS_BPM)
            rows.append((place, day, effort, hr))
    place, day, effort, hr = np.array(rows).T
    return Passes(place.astype(int), day.astype(int), effort, hr, SPEED), level


def test_the_slope_is_found_between_days_and_its_doubt_holds() -> None:
    off = []
    for seed in range(30):
        found = slope_between_days(season(seed, fitter=8.0, faster=0.1)[0])
        off.append((found.bpm - 70.0) / found.sd_bpm)
    assert abs(np.mean(off)) < 0.5
    assert np.mean(np.abs(off) < 2.0) > 0.85


def test_without_any_pair_of_days_the_slope_is_what_is_expected() -> None:
    alone = Passes(np.array([1, 2]), np.array([0, 1]), np.array([1.9, 2.0]), np.array([140.0, 150.0]), SPEED)
    found = slope_between_days(alone)
    assert (found.bpm, found.sd_bpm, found.pairs) == (*map(pytest.approx, PRIOR_SLOPE[SPEED]), 0)


def test_raw_heart_rate_hides_what_equal_speed_shows() -> None:
    """A fitter person goes faster: the raw heart rate stays, at equal speed it falls."""
    raw: list[float] = []
    equal: list[float] = []
    for seed in range(12):
        passes, _ = season(seed, days=60, fitter=10.0, faster=10.0 / 70.0)
        corrected = at_equal_speed(passes, slope_between_days(passes))
        for hr, found in ((passes.hr_bpm, raw), (corrected, equal)):
            levels = day_levels(passes, hr)
            change = later_half(levels.level_bpm, levels.sd_bpm)
            assert change is not None
            found.append(change.change_bpm)
    assert abs(np.mean(raw)) < 1.5
    assert np.mean(equal) == pytest.approx(-5.0, abs=0.8)  # the halves lie half the season apart


def test_levels_of_days_are_the_true_ones_within_what_is_said() -> None:
    off = []
    for seed in range(10):
        passes, truth = season(seed)
        levels = day_levels(passes, at_equal_speed(passes, slope_between_days(passes)))
        error = levels.level_bpm - (truth[levels.day] - truth[levels.day].mean())
        # What a mean differs by from the day's own level: without the part that is the day's.
        off.append(error / np.sqrt(levels.sd_bpm**2 - DAY_BPM**2))
    ratio = np.concatenate(off)
    assert 0.8 < np.std(ratio) < 1.4


def test_a_day_alone_at_its_places_has_no_level() -> None:
    passes = Passes(
        np.array([1, 1, 2]), np.array([0, 1, 2]), np.full(3, 2.0), np.array([130.0, 136.0, 150.0]), SPEED
    )
    levels = day_levels(passes, passes.hr_bpm)
    assert levels.day.tolist() == [0, 1]
    assert levels.level_bpm == pytest.approx([-3.0, 3.0])
    none, nothing = np.zeros(0, dtype=np.intp), np.zeros(0)
    assert day_levels(Passes(none, none, nothing, nothing, SPEED), nothing).day.size == 0


def test_halves_are_compared_as_a_weighted_test_of_two_samples_does() -> None:
    """With equal doubt on all days the interval is that of the known-variance test of two means."""
    rng = np.random.default_rng(0)
    level, sd = rng.normal(0.0, 5.0, 10), np.full(10, 5.0)
    found = later_half(level, sd)
    assert found is not None
    half_width = float(stats.norm.ppf(0.975)) * 5.0 * np.sqrt(2.0 / 5.0)
    assert found.change_bpm == pytest.approx(level[5:].mean() - level[:5].mean())
    assert found.high_bpm - found.change_bpm == pytest.approx(half_width)
    power = stats.norm.cdf(found.seen_bpm / (5.0 * np.sqrt(2.0 / 5.0)) - stats.norm.ppf(0.975))
    assert power == pytest.approx(0.8, abs=1e-4)
    assert later_half(level[:2], sd[:2]) is None


def test_false_alarms_are_rare_where_nothing_changes() -> None:
    told = 0
    for seed in range(100):
        passes, _ = season(seed, days=20)
        levels = day_levels(passes, at_equal_speed(passes, slope_between_days(passes)))
        change = later_half(levels.level_bpm, levels.sd_bpm)
        assert change is not None
        told += change.clear
    assert told <= 8


def test_one_place_says_little_and_twenty_more() -> None:
    """Against the errors that were met on real rides: 8.1, 5.2 and 3.6 bpm with one, five and twenty."""
    assert [round(pass_sd_bpm(n), 1) for n in (1, 5, 20)] == pytest.approx([8.1, 5.2, 3.6], abs=0.7)
