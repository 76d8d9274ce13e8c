"""Slope, chance and noise, checked against published numbers and independent implementations."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from helpers.checks import not_none
from slopebeat.analysis.months.trend import (
    MOST_POINTS,
    PMethod,
    exact_p,
    mann_kendall,
    trend,
)

EIGHT = [8.2, 7.9, 7.1, 7.4, 6.0, 6.3, 5.1, 5.5]
"""Example worked from the definitions with scipy's theilslopes and the exact Kendall distribution."""
SIX_DAYS, SIX = [0, 14, 31, 45, 62, 90], [5.1, 4.8, 6.0, 4.2, 4.9, 3.7]


def test_the_worked_example_of_eight_points() -> None:
    found = trend(range(8), EIGHT)
    assert (found.s, found.n) == (-22, 8)
    assert found.s_variance == pytest.approx(65.3333, abs=1e-4)
    assert found.z == pytest.approx(-2.5981, abs=1e-4)
    assert found.tau == pytest.approx(-0.785714, abs=1e-6)
    assert found.p == pytest.approx(0.005506, abs=1e-6)
    assert found.p_method is PMethod.EXACT
    assert found.slope == pytest.approx(-0.425)
    assert found.intercept == pytest.approx(8.1875)
    assert found.slope_low == pytest.approx(-0.56)
    assert found.slope_high == pytest.approx(-0.2667, abs=1e-4)
    assert found.change == pytest.approx(-0.425 * 7)


def test_the_worked_example_of_six_uneven_days() -> None:
    found = trend(SIX_DAYS, SIX)
    assert found.s == -7
    assert found.p == pytest.approx(0.272222, abs=1e-6)
    assert found.slope == pytest.approx(-0.0155556, abs=1e-7)
    assert found.slope_low == pytest.approx(-0.042857, abs=1e-6)
    assert found.slope_high == pytest.approx(0.041176, abs=1e-6)


# Exact Kendall distribution without ties: n, smallest |S| with p <= 0.05, its p, p of perfect order, Var S.
@pytest.mark.parametrize(
    ("n", "critical", "p_critical", "p_perfect", "variance"),
    [
        (4, None, None, 0.083333, 8.6667),
        (5, 10, 0.01667, 0.016667, 16.6667),
        (6, 13, 0.01667, 0.002778, 28.3333),
        (7, 15, 0.03016, 0.000397, 44.3333),
        (8, 18, 0.03115, 5e-05, 65.3333),
        (9, 20, 0.04462, 6e-06, 92.0),
        (10, 23, 0.04662, 1e-06, 125.0),
        (11, 27, 0.04053, 0.0, 165.0),
        (12, 30, 0.04474, 0.0, 212.6667),
    ],
)
def test_exact_chances_are_those_of_the_kendall_table(
    n: int, critical: int | None, p_critical: float | None, p_perfect: float, variance: float
) -> None:
    pairs = n * (n - 1) // 2
    assert exact_p(n, pairs) == pytest.approx(p_perfect, abs=1e-6)
    assert exact_p(n, -pairs) == exact_p(n, pairs)
    assert mann_kendall(np.arange(float(n)), np.arange(float(n))[::-1])[1] == pytest.approx(
        variance, abs=1e-4
    )
    if critical is None:
        assert exact_p(n, pairs) > 0.05
    else:
        assert exact_p(n, critical) == pytest.approx(p_critical, abs=1e-5)
        assert exact_p(n, critical - 2) > 0.05


def test_the_variance_with_ties_is_the_variance_over_all_orders() -> None:
    # Enumeration of all 5040 orders is the definition the closed form must meet; ties in both.
    x, y = np.array([0.0, 1.0, 1.0, 2.0, 3.0, 3.0, 3.0]), np.array([1.0, 1.0, 1.0, 2.0, 4.0, 4.0, 9.0])
    sums = [
        sum(
            np.sign(x[j] - x[i]) * np.sign(order[j] - order[i])
            for i in range(len(x))
            for j in range(i + 1, len(x))
        )
        for order in permutations(y)
    ]
    assert mann_kendall(x, y)[1] == pytest.approx(np.var(sums))


def test_equal_values_have_no_exact_table_and_that_is_said() -> None:
    found = trend(range(8), [5.0, 5.0, 4.0, 4.5, 4.0, 3.0, 3.5, 2.0])
    assert found.p_method is PMethod.TIES
    # scipy's normal approximation has no continuity correction, so it lies a little lower.
    assert (
        stats.kendalltau(range(8), [5.0, 5.0, 4.0, 4.5, 4.0, 3.0, 3.5, 2.0]).pvalue < not_none(found.p) < 0.01
    )


values = st.floats(-50.0, 50.0, allow_nan=False).map(lambda v: round(v, 1))


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 200), values), min_size=5, max_size=40))
def test_slope_intercept_and_interval_agree_with_scipy(points: list[tuple[int, float]]) -> None:
    x, y = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    if np.unique(x).size < 2 or np.unique(y).size < 2:
        return
    with np.errstate(invalid="ignore"):
        # With ties in both scipy's variance, which lacks the product terms, can fall below zero.
        expected = stats.theilslopes(y, x, 0.95)
    found = trend(x, y)
    assert found.slope == pytest.approx(expected.slope)
    assert found.intercept == pytest.approx(expected.intercept)
    if np.unique(x).size == x.size:
        assert (found.slope_low, found.slope_high) == pytest.approx((expected.low_slope, expected.high_slope))


@settings(max_examples=60, deadline=None)
@given(st.permutations(list(range(9))))
def test_exact_p_agrees_with_scipys_kendall_test(order: list[int]) -> None:
    found = trend(range(9), order)
    assert found.p == pytest.approx(stats.kendalltau(range(9), order, method="exact").pvalue)


def test_the_interval_covers_the_true_slope_about_as_often_as_it_says() -> None:
    rng = np.random.default_rng(8)
    x = np.sort(rng.uniform(0.0, 24.0, 30))
    hits = 0
    for _ in range(400):
        found = trend(x, 5.0 - 0.1 * x + rng.standard_t(4, 30))
        assert found.slope_low is not None
        assert found.slope_high is not None
        hits += found.slope_low <= -0.1 <= found.slope_high
    assert 0.92 <= hits / 400 <= 0.98


def test_many_points_are_grouped_without_losing_the_slope() -> None:
    rng = np.random.default_rng(2)
    x = np.sort(rng.uniform(0.0, 900.0, 10_000))
    found = trend(x, 0.02 * x + rng.normal(0.0, 3.0, x.size))
    assert found.n == MOST_POINTS
    assert found.slope == pytest.approx(0.02, abs=5e-4)


def test_order_does_not_matter_and_unknown_values_are_left_out() -> None:
    shuffled = [3, 0, 7, 1, 5, 2, 6, 4]
    plain = trend(range(8), EIGHT)
    assert trend([*shuffled, 99], [*(EIGHT[i] for i in shuffled), np.nan]) == plain


@pytest.mark.parametrize("n", [0, 1])
def test_nothing_is_made_of_nothing(n: int) -> None:
    found = trend(range(n), range(n))
    assert (found.slope, found.p, found.change, found.p_method) == (None, None, None, PMethod.NONE)


def test_too_few_points_give_a_slope_without_an_interval() -> None:
    found = trend([0, 1, 2, 3], [4.0, 3.0, 2.5, 1.0])
    assert found.slope is not None
    assert found.slope_low is None
    assert found.change_interval is None
