"""The course over weeks against dense matrices and a general-purpose multivariate normal."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from slopebeat.analysis.months import course
from slopebeat.analysis.months.course import (
    CourseGrid,
    contrast_of_course,
    contrast_of_known,
    random_walk_grid,
    smoothed,
    whitened,
)


@pytest.fixture
def made() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Weeks with two outings at one time, figures, reading variances, and what is known."""
    rng = np.random.default_rng(3)
    week = np.sort(rng.uniform(0.0, 26.0, 24))
    week[7] = week[6]
    known = np.column_stack([np.ones(24), week - week.mean(), rng.normal(0.0, 0.5, 24)])
    return week, rng.normal(0.0, 5.0, 24), rng.uniform(1.0, 20.0, 24), known


def one_point(day: float, wander: float, memory: float) -> CourseGrid:
    return CourseGrid(np.array([day]), np.array([wander]), np.array([memory]), np.zeros(1))


def dense(week: np.ndarray, wander: float, memory: float, noise: np.ndarray) -> np.ndarray:
    apart = np.abs(week[:, None] - week)
    return np.asarray(wander**2 * np.exp(-apart / memory) + np.diag(noise))


def test_the_filter_gives_the_density_of_a_multivariate_normal(made: tuple[np.ndarray, ...]) -> None:
    """scipy.stats.multivariate_normal on the dense covariance."""
    week, y, variance, _ = made
    noise = variance + 3.0**2
    gram, log_det = whitened(week, one_point(3.0, 2.5, 5.0), noise[None], y[:, None])
    density = -0.5 * (gram[0, 0, 0] + log_det[0] + y.size * np.log(2.0 * np.pi))
    expected = multivariate_normal(np.zeros(y.size), dense(week, 2.5, 5.0, noise)).logpdf(y)
    assert density == pytest.approx(expected, rel=1e-10)


def test_a_contrast_is_that_of_dense_generalised_least_squares(
    made: tuple[np.ndarray, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Aitken 1935: (X' C^-1 X)^-1 X' C^-1 y, with one point on the grid and no odd days."""
    week, y, variance, known = made
    monkeypatch.setattr(course, "ROUNDS", 1)
    contrast = np.array([0.0, np.ptp(week), 0.0])
    found = contrast_of_known(week, y, variance, known, np.full(3, 1e-9), contrast, one_point(3.0, 2.5, 5.0))
    inverse = np.linalg.inv(dense(week, 2.5, 5.0, variance + 9.0))
    covariance = np.linalg.inv(known.T @ inverse @ known)
    assert found.value == pytest.approx(contrast @ covariance @ known.T @ inverse @ y, rel=1e-6)
    assert found.spread == pytest.approx(np.sqrt(contrast @ covariance @ contrast), rel=1e-6)
    low, high = found.interval()
    assert (low, high) == pytest.approx(
        (found.value - 1.95996 * found.spread, found.value + 1.95996 * found.spread), rel=1e-3
    )


def test_now_against_then_is_the_conditional_mean_of_a_wandering_course(
    made: tuple[np.ndarray, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Dense universal kriging (Cressie 1993, Statistics for Spatial Data, 3.4 - from memory)."""
    week, y, variance, known = made
    monkeypatch.setattr(course, "ROUNDS", 1)
    columns = known[:, [0, 2]]
    full = random_walk_grid(4.5, 1.2, float(week[0]))
    grid = CourseGrid(full.day[4:5], full.wander[4:5], full.memory[4:5], full.log_prior[4:5], full.start_week)
    then, now = week[:4], week[-5:]
    found = contrast_of_course(week, y, variance, columns, np.full(2, 1e-9), then, now, grid)
    at = np.concatenate([then, now])
    share = np.concatenate([np.full(4, -0.25), np.full(5, 0.2)])
    step = 1.2**2
    walk = step * np.minimum(week[:, None] - week[0], week - week[0])
    inverse = np.linalg.inv(walk + np.diag(variance + grid.day[0] ** 2))
    ties = step * np.minimum(week[:, None] - week[0], at - week[0]) @ share
    whole = step * share @ np.minimum(at[:, None] - week[0], at - week[0]) @ share
    covariance = np.linalg.inv(columns.T @ inverse @ columns)
    line = covariance @ columns.T @ inverse @ y
    lack = columns.T @ inverse @ ties
    assert found.value == pytest.approx(ties @ inverse @ (y - columns @ line), rel=1e-6)
    spread = np.sqrt(whole - ties @ inverse @ ties + lack @ covariance @ lack)
    assert found.spread == pytest.approx(spread, rel=1e-6)


def test_the_smoothed_course_is_the_dense_conditional_mean(made: tuple[np.ndarray, ...]) -> None:
    week, y, variance, _ = made
    noise = variance + 9.0
    mean, doubt = smoothed(week, one_point(3.0, 2.5, 5.0), 0, noise, y)
    course_only = dense(week, 2.5, 5.0, np.zeros(y.size))
    gain = course_only @ np.linalg.inv(course_only + np.diag(noise))
    np.testing.assert_allclose(mean, gain @ y, rtol=1e-6, atol=1e-9)
    np.testing.assert_allclose(doubt, np.diag(course_only - gain @ course_only), rtol=1e-6)


def test_an_odd_day_is_trusted_less(made: tuple[np.ndarray, ...]) -> None:
    week, y, variance, known = made
    y = y.copy()
    y[11] += 40.0
    contrast = np.array([0.0, np.ptp(week), 0.0])
    found = contrast_of_known(
        week, y, variance, known, np.full(3, 1e-9), contrast, course.mean_reverting_grid(4.5)
    )
    assert found.trust[11] < 0.4
    assert found.trust[11] == found.trust.min()
