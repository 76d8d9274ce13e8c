"""The first-order lag against its closed form."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.response.lag import held_integral, lag_at, lag_means, lag_states

TAU_S = 57.6  # Hunt 2015, doi:10.1186/s12938-015-0112-7


def test_a_step_covers_63_2_percent_in_one_time_constant() -> None:
    u = np.full(600, 160.0)
    assert lag_at(u, 1.0, TAU_S, np.array([TAU_S]), start=130.0)[0] == pytest.approx(148.96, abs=0.005)


def test_a_step_from_130_to_160_crosses_145_after_39_93_s() -> None:
    # HR(t) = 160 - 30 exp(-t / tau) is 145 at tau ln 2.
    u = np.full(600, 160.0)
    around = np.array([39.92, 39.94])
    below, above = lag_at(u, 1.0, TAU_S, around, start=130.0)
    assert below < 145.0 < above


def test_a_ramp_lags_by_the_time_constant() -> None:
    step = 0.5
    t = np.arange(0.0, 1200.0, step)
    states = lag_states(t + step / 2.0, step, TAU_S)
    late = t > 12 * TAU_S
    np.testing.assert_allclose(states[late], t[late] - TAU_S, atol=0.01)


def test_one_second_keeps_the_share_of_the_exact_discretisation() -> None:
    # 1 - exp(-1 / 57.6) = 0.01721
    assert lag_states(np.array([1.0, 1.0]), 1.0, TAU_S, start=0.0)[1] == pytest.approx(0.01721, abs=5e-6)


def test_step_means_equal_the_integral_of_a_fine_lag() -> None:
    rng = np.random.default_rng(3)
    u = rng.normal(size=(40, 2))
    fine = lag_states(np.repeat(u, 1000, axis=0), 0.005, 30.0)
    means = fine.reshape(40, 1000, 2).mean(axis=1)
    np.testing.assert_allclose(lag_means(u, 5.0, 30.0), means, atol=1e-3)


def test_lag_between_steps_agrees_with_the_states_at_steps() -> None:
    u = np.random.default_rng(4).normal(size=50)
    np.testing.assert_allclose(lag_at(u, 5.0, 44.0, np.arange(50.0) * 5.0), lag_states(u, 5.0, 44.0))


def test_held_integral_counts_only_the_seconds_a_sample_stands_for() -> None:
    t, lasts = np.array([0.0, 4.0, 20.0]), np.array([4.0, 2.0, 5.0])
    edges = np.array([0.0, 5.0, 10.0, 20.0, 25.0])
    got = held_integral(t, lasts, np.array([1.0, 10.0, 2.0]), edges)
    np.testing.assert_allclose(got, [4.0 + 10.0, 10.0, 0.0, 10.0])


def test_many_time_constants_at_once_are_those_of_one_after_the_other() -> None:
    """The recursion ``y' = keep y + (1 - keep) u`` step by step, for each column with its own constant."""
    chance = np.random.default_rng(2)
    u, taus = chance.normal(size=(700, 3)), np.array([20.0, 57.6, 200.0])
    state, wanted = u[0].copy(), []
    for each in u:
        wanted.append(state)
        state = np.exp(-5.0 / taus) * state + (1.0 - np.exp(-5.0 / taus)) * each
    np.testing.assert_allclose(lag_states(u, 5.0, taus), wanted, rtol=1e-11, atol=1e-12)
