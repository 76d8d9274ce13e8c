"""The banded solution against dense ones, written from the model alone, and against published kinetics.

Odd-even elimination of tridiagonal matrices, against SciPy's banded Cholesky factor.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import cho_solve_banded, cholesky_banded, solve
from scipy.stats import multivariate_normal

from helpers.checks import not_none
from helpers.responses import track_of, true_hr, work_at
from slopebeat.analysis.response import estimate, priors
from slopebeat.analysis.response.estimate import Bins, LaggedInputs, find_answers
from slopebeat.analysis.response.fit import fit_response
from slopebeat.analysis.response.grid import Grid, make_grid
from slopebeat.analysis.response.priors import Noise, half_solved, inner_products, ou_precision
from slopebeat.model.track import Array


@pytest.fixture(scope="module")
def noisy_bins() -> tuple[Grid, Bins]:
    t = np.arange(9000.0)
    hr = true_hr(t)
    rng = np.random.default_rng(9)
    seen = hr + rng.normal(0.0, 2.0, t.size) + np.cumsum(rng.normal(0.0, 0.08, t.size))
    grid = make_grid(track_of(t, seen), work_at(t + 0.5))
    return grid, Bins(grid, LaggedInputs(grid.inputs, (54.8, 70.0)), on_bike=False)


def lag_by_euler(inputs: Array, tau_s: float) -> Array:
    """Lag of an input held over 5 s steps, as means over them, by small explicit steps."""
    state, out = inputs[0].copy(), np.empty_like(inputs)
    for k, value in enumerate(inputs):
        total = np.zeros_like(value)
        for _ in range(100):
            total += state
            state = state + 0.05 / tau_s * (value - state)
        out[k] = total / 100
    return out


def shape_of(t: Array, noise: Noise) -> Array:
    """Dense correlation of both errors, the quick one of unit variance."""
    apart = np.abs(t[:, None] - t)
    return np.asarray(np.exp(-apart / noise.quick_s) + noise.slow_ratio * np.exp(-apart / noise.slow_s))


def dense_model(bins: Bins, inputs: Array, errors: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Rows, what is seen, its error, and mean and covariance of the coefficients beforehand.

    As on the help page: drift 3 (3) bpm/h, work wide, slopes 12 % of 40 W/kg a metre a second, slow part 0.20
    (0.15); standing heart rate is one more observation, 75 (30) bpm at ten minutes.
    """
    t, centre = bins.t_s, inputs.mean(axis=0)
    design = np.column_stack([np.ones_like(t), (t - t.mean()) / 3600.0, inputs - centre])
    standing = np.concatenate([[1.0, (600.0 - t.mean()) / 3600.0], np.array([1.44, 0, 0, 0]) - centre])
    gain = (bins.hr_bpm.mean() - 75.0) / (bins.scale.mean_work - 1.44)
    deviations = np.array([1e3, 3.0, 50.0, 4.8 * gain, 4.8 * gain, 0.15 * gain])
    means = np.array([130.0, 3.0, 0.0, 0.0, 0.0, 0.20 * gain])
    every = np.pad(errors, (0, 1))
    every[-1, -1] = 30.0**2
    return np.vstack([design, standing]), np.append(bins.hr_bpm, 75.0), every, means, np.diag(deviations**2)


def test_one_answer_equals_dense_bayesian_regression(
    noisy_bins: tuple[Grid, Bins], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Gaussian conditioning with dense matrices: general-purpose NumPy and SciPy, nothing of the solver."""
    grid, bins = noisy_bins
    tau, delay, noise = 70.0, 10.0, Noise(60.0, 900.0, 1.0)
    monkeypatch.setattr(estimate, "TAUS_S", np.array([tau]))
    monkeypatch.setattr(estimate, "DELAYS_S", (delay,))
    monkeypatch.setattr(estimate, "NOISES", (noise,))
    got = find_answers(bins).informed

    quick = lag_by_euler(grid.inputs, tau)
    slow = lag_by_euler(grid.inputs[:, :1], priors.SLOW_S)
    columns = np.column_stack([quick, slow[:, 0] - quick[:, 0]])
    inputs = grid.binned(np.vstack([np.repeat(columns[:1], 2, axis=0), columns[:-2]]))
    shape = shape_of(bins.t_s, noise)
    root = np.linalg.cholesky(shape)
    rows, seen, *_ = dense_model(bins, inputs, shape)
    design, heart = np.linalg.solve(root, rows[:-1]), np.linalg.solve(root, bins.hr_bpm)
    left = heart - design @ np.linalg.lstsq(design, heart, rcond=None)[0]
    variance = left @ left / (bins.t_s.size - 6) + 0.01
    rows, seen, error, means, of_prior = dense_model(bins, inputs, variance * shape)
    pull = np.linalg.solve(rows @ of_prior @ rows.T + error, rows @ of_prior).T
    mean = means + pull @ (seen - rows @ means)
    deviation = np.sqrt(np.diag(of_prior - pull @ rows @ of_prior))

    unit = np.array([1.0, 3600.0, 1.0, 1.0, 1.0, 1.0])
    np.testing.assert_allclose((got.mean * unit - mean) / deviation, 0.0, atol=0.02)
    np.testing.assert_allclose(np.sqrt(np.diag(got.total_covariance)) * unit, deviation, rtol=0.01)


def test_the_weights_of_two_errors_are_their_odds_under_dense_marginal_likelihoods(
    noisy_bins: tuple[Grid, Bins], monkeypatch: pytest.MonkeyPatch
) -> None:
    _, bins = noisy_bins
    noises = (Noise(60.0, 900.0, 1.0), Noise(60.0, 900.0, 1.1))
    monkeypatch.setattr(estimate, "TAUS_S", np.array([54.8]))
    monkeypatch.setattr(estimate, "DELAYS_S", (0.0,))
    monkeypatch.setattr(estimate, "NOISES", noises)
    monkeypatch.setattr(estimate, "_error_variance", lambda gram, n: np.full(len(gram), 1.0))
    got = find_answers(bins).informed
    logs = []
    for noise in noises:
        model = dense_model(bins, bins.inputs([(54.8, 0.0)])[:, 0], 1.0 * shape_of(bins.t_s, noise))
        rows, seen, error, means, of_prior = model
        logs.append(multivariate_normal.logpdf(seen, rows @ means, error + rows @ of_prior @ rows.T))
    odds = np.exp(logs[0] - logs[1])
    assert 0.05 < odds < 20.0, "neither answer goes without saying"
    assert got.weight[0] / got.weight[1] == pytest.approx(odds, rel=0.02)


def test_published_treadmill_kinetics_come_back() -> None:
    """Hunt 2015, doi:10.1186/s12938-015-0112-7: 57.6 s (95 %: 50.9 to 64.3), 24.2 bpm per m/s (21.9 to 26.6).

    The answer to steps of speed in closed form, with the 2.27 bpm that a first-order model leaves
    (doi:10.1186/s12938-021-00875-7).
    """
    t = np.arange(3600.0)
    rng = np.random.default_rng(12)
    speeds = np.repeat(rng.choice([2.2, 2.6, 3.0], 15), 240)
    hr = np.full(t.size, 130.0)
    for k in range(1, 15):
        begun = t >= 240.0 * k
        step = speeds[240 * k] - speeds[240 * k - 1]
        hr[begun] += 24.2 * step * (1.0 - np.exp(-(t[begun] + 0.5 - 240.0 * k) / 57.6))
    none = np.zeros_like(t)
    track = track_of(t, hr + rng.normal(0.0, 2.27, t.size), vertical_speed_mps=none, grade=none)
    # On level ground a runner's cost is 3.6 J/kg a metre (Minetti 2002) above standing.
    response = fit_response(track, 1.44 + 3.6 * speeds)
    assert 50.9 <= not_none(response.tau_s) <= 64.3
    assert 21.9 <= 3.6 * not_none(response.work_bpm_per_w_kg) <= 26.6
    low, high = not_none(response.drift_interval_bpm_per_h)
    assert low <= 0.0 <= high


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 8, 9, 100, 1201])
def test_inner_products_and_determinant_are_scipys(count: int) -> None:
    chance = np.random.default_rng(count)
    t = np.cumsum(chance.uniform(5.0, 300.0, count))
    bands = np.array([ou_precision(t, 45.0)[0] + ou_precision(t, 1800.0)[0] / ratio for ratio in (0.7, 3.0)])
    columns = chance.normal(size=(count, 7))
    halves, log_det = half_solved(bands, columns)
    for each, found, size in zip(bands, halves.swapaxes(0, 1), log_det, strict=True):
        factor = cholesky_banded(each, lower=True)
        wanted = columns.T @ cho_solve_banded((factor, True), columns)
        np.testing.assert_allclose(found.T @ found, wanted, rtol=1e-9, atol=1e-9)
        assert size == pytest.approx(2.0 * float(np.log(factor[0]).sum()), rel=1e-11, abs=1e-9)


def test_inner_products_of_many_errors_at_once_are_those_of_dense_covariances() -> None:
    """Every noise and every set of rows, against SciPy's solution with the whole covariance."""
    chance = np.random.default_rng(6)
    t = np.cumsum(chance.uniform(5.0, 300.0, 60))
    common, own = chance.normal(size=(60, 3)), chance.normal(size=(60, 2, 4))
    gram, log_det = inner_products(t, common, own, priors.NOISES)
    assert gram.shape == (len(priors.NOISES), 2, 7, 7)
    for noise, of_sets, size in zip(priors.NOISES, gram, log_det, strict=True):
        covariance = shape_of(t, noise)
        for number, found in enumerate(of_sets):
            columns = np.column_stack([common, own[:, number]])
            wanted = columns.T @ solve(covariance, columns, assume_a="pos")
            np.testing.assert_allclose(found, wanted, rtol=1e-9, atol=1e-9)
        assert size == pytest.approx(float(np.linalg.slogdet(covariance)[1]), rel=1e-10, abs=1e-9)


def test_late_means_are_those_of_the_values_put_later(noisy_bins: tuple[Grid, Bins]) -> None:
    """Bin by bin with NumPy's weighted mean; before the first step the inputs are as in the first."""
    grid, _ = noisy_bins
    late = grid.binned_late(grid.inputs, (0, 1, 3))
    for found, delay in zip(late.swapaxes(0, 1), (0, 1, 3), strict=True):
        then = np.vstack([np.repeat(grid.inputs[:1], delay, axis=0), grid.inputs])[: len(grid.inputs)]
        for at, number in enumerate(grid.kept_bins):
            here = slice(6 * number, 6 * number + 6)
            wanted = np.average(then[here], axis=0, weights=grid.fit_s[here])
            np.testing.assert_allclose(found[at], wanted, rtol=1e-12, atol=1e-12)
