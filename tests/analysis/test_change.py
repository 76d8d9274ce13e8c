"""Noise is called noise, chance chance, and a change a change: with the numbers beside it."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.months.change import (
    DECOUPLING_NOISE_POINTS,
    HR_DAY_CV_PERCENT,
    SPEED_NOISE_SHARE,
    Figure,
    Kind,
    judge,
)
from slopebeat.analysis.months.trend import mdc95, trend
from slopebeat.analysis.response.work_rate import lcda_walking_w_per_kg

POINTS = Figure(
    "Decoupling", "points", 1, rising_is_better=False, noise=DECOUPLING_NOISE_POINTS, noise_basis="heart rate"
)
WEEKS = np.arange(24.0)


def wobble(size: float) -> np.ndarray:
    return size * np.random.default_rng(4).standard_normal(WEEKS.size)


def test_the_noise_of_decoupling_is_what_day_to_day_heart_rate_makes() -> None:
    detectable = mdc95(HR_DAY_CV_PERCENT[1])
    assert detectable <= DECOUPLING_NOISE_POINTS < detectable + 0.15


def test_the_noise_of_speed_is_what_its_derivation_says() -> None:
    # Speed at which the published walking cost is that of 1.4 m/s and the share of 4.7 bpm in 68 more.
    speeds = np.linspace(1.2, 1.9, 7001)
    cost = lcda_walking_w_per_kg(speeds, 0.0)
    level = np.interp(1.4, speeds, cost) * (1.0 + 0.01 * mdc95(1.4) * 120.0 / 68.0)
    assert np.interp(level, cost, speeds) / 1.4 - 1.0 == pytest.approx(SPEED_NOISE_SHARE, abs=0.005)


def test_a_consistent_fall_of_three_points_is_still_noise_and_says_its_numbers() -> None:
    found = trend(WEEKS, 8.0 - 3.0 / 23.0 * WEEKS + wobble(0.1))
    verdict = judge(found, POINTS)
    assert verdict.kind is Kind.NOISE
    assert "fell by 3." in verdict.sentence
    assert "p < 0.001" in verdict.sentence
    assert "A change under 4.0 points is within day-to-day noise" in verdict.sentence


def test_a_large_fall_is_better_and_a_large_rise_worse() -> None:
    fall = judge(trend(WEEKS, 9.0 - 0.3 * WEEKS + wobble(1.0)), POINTS)
    assert fall.kind is Kind.BETTER
    assert "in 23 weeks" in fall.sentence
    assert "24 outings" in fall.sentence
    assert judge(trend(WEEKS, 2.0 + 0.3 * WEEKS + wobble(1.0)), POINTS).kind is Kind.WORSE


def test_a_large_change_among_larger_scatter_may_be_chance() -> None:
    verdict = judge(trend([0, 4, 8, 12, 16], [3.0, 14.0, 2.0, 12.0, 13.0]), POINTS)
    assert verdict.kind is Kind.CHANCE
    assert "exact" in verdict.sentence


@pytest.mark.parametrize(("n", "words"), [(0, "0 outings"), (1, "1 outing "), (4, "1 more is needed")])
def test_four_outings_show_no_trend(n: int, words: str) -> None:
    verdict = judge(trend(range(n), range(n)), POINTS)
    assert verdict.kind is Kind.TOO_FEW
    assert words in verdict.sentence


def test_one_day_or_one_figure_is_no_trend() -> None:
    assert judge(trend([1.0] * 6, range(6)), POINTS).kind is Kind.TOO_FEW
    assert judge(trend(range(6), [3.0] * 6), POINTS).kind is Kind.TOO_FEW


def test_a_figure_is_shown_in_its_own_unit() -> None:
    speed = Figure("Speed", "km/h", 2, scale=3.6, rising_is_better=True, noise=0.1, noise_basis="heart rate")
    verdict = judge(trend(WEEKS, 1.2 + 0.01 * WEEKS), speed)
    assert verdict.kind is Kind.BETTER
    assert "rose by 0.83 km/h" in verdict.sentence
