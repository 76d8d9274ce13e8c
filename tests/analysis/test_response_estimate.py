"""The banded solution against dense ones, written from the model alone."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from response_made import track_of, true_hr, work_at
from slopebeat.analysis.response import estimate, priors
from slopebeat.analysis.response.estimate import Bins, find_answers
from slopebeat.analysis.response.grid import make_grid
from slopebeat.analysis.response.kinetics import LaggedInputs
from slopebeat.analysis.response.noise import Noise


@pytest.fixture(scope="module")
def noisy_bins():
    t = np.arange(9000.0)
    hr = true_hr(t)
    rng = np.random.default_rng(9)
    seen = hr + rng.normal(0.0, 2.0, t.size) + np.cumsum(rng.normal(0.0, 0.08, t.size))
    grid = make_grid(track_of(t, seen), work_at(t + 0.5))
    return grid, Bins(grid, LaggedInputs(grid.inputs), on_bike=False)


def lag_by_euler(inputs, tau_s):
    """Lag of an input held over 5 s steps, as means over them, by small explicit steps."""
    state, out = inputs[0].copy(), np.empty_like(inputs)
    for k, value in enumerate(inputs):
        total = np.zeros_like(value)
        for _ in range(500):
            total += state
            state = state + 0.01 / tau_s * (value - state)
        out[k] = total / 500
    return out


def test_one_answer_equals_dense_bayesian_regression(noisy_bins, monkeypatch):
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
    columns = np.vstack([np.repeat(columns[:1], 2, axis=0), columns[:-2]])
    inputs, t, hr = grid.binned(columns), bins.t_s, bins.hr_bpm
    centre, hours = inputs.mean(axis=0), (t - t.mean()) / 3600.0
    design = np.column_stack([np.ones_like(t), hours, inputs - centre])
    apart = np.abs(t[:, None] - t)
    shape = np.exp(-apart / noise.quick_s) + noise.slow_ratio * np.exp(-apart / noise.slow_s)
    weak, *_ = np.linalg.lstsq(
        np.linalg.solve(np.linalg.cholesky(shape), design),
        np.linalg.solve(np.linalg.cholesky(shape), hr),
        rcond=None,
    )
    left = np.linalg.solve(np.linalg.cholesky(shape), hr - design @ weak)
    variance = left @ left / (t.size - 6) + 0.01
    # Priors as on the help page: drift 3 (3), work wide, slopes 12 % of 40 W/kg a metre, slow 0.20 (0.15).
    mean_work = grid.binned(grid.inputs)[:, 0].mean()
    gain = (hr.mean() - 75.0) / (mean_work - 1.44)
    deviations = np.array([1e4, 3.0, 50.0, 4.8 * gain, 4.8 * gain, 0.15 * gain])
    means = np.array([hr.mean(), 3.0, 0.0, 0.0, 0.0, 0.20 * gain])
    # Standing heart rate is one more observation, 75 (30) bpm at ten minutes.
    standing = np.array(
        [1.0, (600.0 - t.mean()) / 3600.0, 1.44 - centre[0], -centre[1], -centre[2], -centre[3]]
    )
    rows = np.vstack([design, standing])
    seen = np.append(hr, 75.0)
    noise_matrix = np.zeros((t.size + 1, t.size + 1))
    noise_matrix[:-1, :-1], noise_matrix[-1, -1] = variance * shape, 30.0**2
    of_prior = np.diag(deviations**2)
    total = rows @ of_prior @ rows.T + noise_matrix
    pull = np.linalg.solve(total, rows @ of_prior).T
    mean = means + pull @ (seen - rows @ means)
    covariance = of_prior - pull @ rows @ of_prior

    unit = np.array([1.0, 3600.0, 1.0, 1.0, 1.0, 1.0])
    deviation = np.sqrt(np.diag(covariance))
    np.testing.assert_allclose((got.mean * unit - mean) / deviation, 0.0, atol=0.02)
    np.testing.assert_allclose(np.sqrt(np.diag(got.total_covariance)) * unit, deviation, rtol=0.01)


def test_the_weights_of_two_errors_are_their_odds_under_dense_marginal_likelihoods(noisy_bins, monkeypatch):
    _, bins = noisy_bins
    noises = (Noise(20.0, 900.0, 1.0), Noise(60.0, 900.0, 1.0))
    monkeypatch.setattr(estimate, "TAUS_S", np.array([54.8]))
    monkeypatch.setattr(estimate, "DELAYS_S", (0.0,))
    monkeypatch.setattr(estimate, "NOISES", noises)
    monkeypatch.setattr(estimate, "_error_variance", lambda gram, n: np.full(len(gram), 4.0))
    got = find_answers(bins).informed
    t, hr = bins.t_s, bins.hr_bpm
    inputs = bins.inputs(54.8, 0.0)
    centre = inputs.mean(axis=0)
    design = np.column_stack([np.ones_like(t), (t - t.mean()) / 3600.0, inputs - centre])
    gain = bins.scale.gain
    logs = []
    for noise in noises:
        apart = np.abs(t[:, None] - t)
        shape = np.exp(-apart / noise.quick_s) + noise.slow_ratio * np.exp(-apart / noise.slow_s)
        deviations = np.array([1e3, 3.0, 50.0, 4.8 * gain, 4.8 * gain, 0.15 * gain])
        means = np.array([75.0, 3.0, 0.0, 0.0, 0.0, 0.20 * gain])
        standing = np.concatenate([[1.0, (600.0 - t.mean()) / 3600.0], np.array([1.44, 0, 0, 0]) - centre])
        rows = np.vstack([design, standing])
        matrix = np.zeros((t.size + 1, t.size + 1))
        matrix[:-1, :-1], matrix[-1, -1] = 4.0 * shape, 900.0
        matrix += rows @ np.diag(deviations**2) @ rows.T
        logs.append(multivariate_normal.logpdf(np.append(hr, 75.0), rows @ means, matrix))
    odds = np.exp(logs[0] - logs[1])
    assert got.weight[0] / got.weight[1] == pytest.approx(odds, rel=0.02)
