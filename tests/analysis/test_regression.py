"""The line through outings against ordinary least squares and Student's quantiles of SciPy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from slopebeat.analysis.regression import fit_line, next_draws

NONE = (np.zeros(1), np.full(1, 1e4))


def made(count: int, sd: float, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    x = rng.normal(0.0, 1.0, count)
    return x, 5.0 + 2.0 * x + rng.normal(0.0, sd, count)


def test_with_vague_priors_it_is_the_least_squares_line() -> None:
    x, y = made(60, 0.5)
    line = fit_line(y, x[:, None], *NONE, np.ones(60), 0.5)
    expected = stats.linregress(x, y)
    assert line.coefficients == pytest.approx([expected.intercept, expected.slope], abs=0.06)
    assert np.sqrt(line.covariance[1, 1]) == pytest.approx(expected.stderr, rel=0.25)


def test_a_prior_holds_the_slope_where_the_outings_do_not_tell() -> None:
    x, y = made(6, 0.5)
    held = fit_line(y, 0.01 * x[:, None], np.array([3.0]), np.array([0.1]), np.ones(6), 0.5)
    assert held.coefficients[1] == pytest.approx(3.0, abs=0.05)


def test_one_odd_outing_moves_the_line_less_than_least_squares() -> None:
    x, y = made(30, 0.3)
    y[3] += 15.0
    line = fit_line(y, x[:, None], *NONE, np.ones(30), 0.3)
    plain = stats.linregress(x, y)
    assert abs(line.coefficients[0] - 5.0) < 0.3 * abs(plain.intercept - 5.0)


def test_a_weight_of_nothing_is_an_outing_that_was_not_there() -> None:
    x, y = made(20, 0.5)
    weight = np.append(np.ones(20), 1e-12)
    more = fit_line(np.append(y, 99.0), np.append(x, 0.0)[:, None], *NONE, weight, 0.5)
    assert more.coefficients == pytest.approx(
        fit_line(y, x[:, None], *NONE, np.ones(20), 0.5).coefficients, abs=1e-6
    )


@pytest.mark.parametrize("tails", [4.0, 200.0])
def test_the_interval_of_the_next_outing_holds_as_often_as_it_says(tails: float) -> None:
    rng, held = np.random.default_rng(5), []
    for _ in range(300):
        x = rng.normal(0.0, 1.0, 16)
        y = 5.0 + 2.0 * x + 0.5 * rng.standard_t(tails, 16)
        prior = (np.zeros(1), np.full(1, 5.0))
        drawn = next_draws(y[:-1], x[:-1, None], x[-1:], prior, np.ones(15), 0.5, rng, 800)
        low, high = np.quantile(drawn, [0.1, 0.9])
        held.append(low <= y[-1] <= high)
    assert 0.74 <= np.mean(held) <= 0.89


def test_the_spread_of_the_draws_is_students() -> None:
    y = np.random.default_rng(3).normal(0.0, 2.0, 200)
    drawn = next_draws(
        y, np.zeros((200, 1)), np.zeros(1), NONE, np.ones(200), 2.0, np.random.default_rng(4), 50_000
    )
    width = np.subtract(*np.quantile(drawn, [0.9, 0.1]))
    # Weighted by trust and widened again, the spread of normal values comes out about a tenth too small.
    assert width == pytest.approx(2.0 * stats.t.ppf(0.9, 204) * 2.0, rel=0.12)
