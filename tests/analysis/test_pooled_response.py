"""Responses pooled: closed forms where there are some, and known truth recovered."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.mixture import Mixture
from slopebeat.analysis.response.pooled import (
    DEFAULT_DAY_SD,
    DEFAULT_SD,
    DEFAULTS,
    REFERENCE_S,
    REFERENCE_W_PER_KG,
    WANDER_TAUS_S,
    pool_responses,
)
from slopebeat.analysis.response.pooled_spread import PRIOR_LOG_SD, likely_spreads
from slopebeat.analysis.route.evidence import WANDER_LAGS_S, Evidence
from slopebeat.model.past import GRADES

TRUE = np.array([126.0, 3.0 / 3600.0, 11.0, 5.0, -4.0])
WITHIN_SD = np.array([1.0, 0.8 / 3600.0, 0.5, 4.0, 4.0])


def outing(coefficients: np.ndarray, within_sd: np.ndarray, **change: Any) -> Evidence:
    """Evidence whose fit has given coefficients at the reference, seen from its own centre."""
    centre_t, centre = 4000.0, np.array([5.2, 0.08, 0.05, 0.0])
    beta = np.concatenate([coefficients, np.zeros(1)])
    from_reference = np.concatenate([[centre[0] - REFERENCE_W_PER_KG[False]], centre[1:]])
    beta[0] += beta[1] * (centre_t - REFERENCE_S) + beta[2:] @ from_reference
    covariance = np.diag(np.concatenate([within_sd, np.ones(1)]) ** 2)
    # The level at the reference is to have the variance asked for, so the level at the centre gives way.
    posterior = Mixture(
        np.ones(1), np.array([50.0]), np.zeros(1), beta[None], covariance[None], centre_t, centre[None]
    )
    response = Response(FitStatus.USABLE, "", 5000.0, {}, posterior, 50.0, own=posterior)
    none = np.zeros(GRADES.shape)
    wander = change.pop("wander", np.full(5, np.nan))
    return Evidence(False, none, none, none, none, 6000.0, np.zeros(0), 6000.0, response, wander, wander)


def test_without_outings_the_stated_defaults_stand() -> None:
    pooled = pool_responses([], on_bike=False)
    assert pooled.mean == pytest.approx(DEFAULTS[False])
    assert np.sqrt(np.diag(pooled.covariance)) == pytest.approx(DEFAULT_SD[False])
    assert pooled.day_sd == pytest.approx(DEFAULT_DAY_SD[False])
    assert (pooled.outing_count, pooled.longest_s) == (0, 0.0)


def test_one_sure_outing_moves_the_level_to_its_own() -> None:
    pooled = pool_responses([outing(TRUE, WITHIN_SD / 100.0)], on_bike=False)
    assert pooled.mean[0] == pytest.approx(TRUE[0], abs=0.5)
    assert pooled.mean[2] == pytest.approx(11.0, abs=0.2)
    assert pooled.rest_bpm == pytest.approx(
        pooled.mean[0] - pooled.mean[1] * 3600.0 - pooled.mean[2] * REFERENCE_W_PER_KG[False]
    )


def test_the_usual_response_and_the_spread_of_days_are_recovered() -> None:
    rng = np.random.default_rng(11)
    day = np.array([3.5, 1.0 / 3600.0, 0.4, 4.0, 4.0])
    made = [
        outing(
            TRUE + day * rng.standard_normal(5) + 0.2 * WITHIN_SD * rng.standard_normal(5), 0.2 * WITHIN_SD
        )
        for _ in range(40)
    ]
    pooled = pool_responses(made, on_bike=False)
    error = np.sqrt(np.diag(pooled.covariance))
    assert (np.abs(pooled.mean - TRUE) < 3.0 * error).all()
    assert pooled.day_sd[0] == pytest.approx(3.5, rel=0.3)
    assert pooled.day_sd[1] == pytest.approx(day[1], rel=0.35)


def test_an_unsure_outing_counts_for_less() -> None:
    ten_beats = np.array([10.0, 0.0, 0.0, 0.0, 0.0])
    high, low = TRUE + ten_beats, TRUE - ten_beats
    sure, unsure = WITHIN_SD * 0.1, WITHIN_SD * np.array([20.0, 1, 1, 1, 1])
    pooled = pool_responses([outing(high, sure), outing(high, sure), outing(low, unsure)], on_bike=False)
    assert pooled.mean[0] > TRUE[0] + 7.0


def test_draws_have_the_pooled_mean_and_the_spread_of_days() -> None:
    pooled = pool_responses([outing(TRUE, WITHIN_SD * 0.1)] * 8, on_bike=False)
    drawn, tau = pooled.draw(6000, np.random.default_rng(2))
    at_reference = drawn @ pooled.reference
    assert at_reference.mean() == pytest.approx(pooled.mean[0], abs=0.15)
    # A Student factor of 11 degrees of freedom widens the spread by the root of 11/9.
    wide = np.sqrt(11.0 / 9.0) * pooled.day_sd[0]
    assert at_reference.std() == pytest.approx(np.hypot(wide, np.sqrt(pooled.covariance[0, 0])), rel=0.08)
    assert np.median(tau) == pytest.approx(pooled.tau_s, rel=0.03)


def test_a_known_wander_is_taken_apart_into_its_memories() -> None:
    variances = np.array([2.0, 0.0, 6.0, 0.0])
    lags = np.array(WANDER_LAGS_S)
    known = np.exp(-lags[:, None] / np.array(WANDER_TAUS_S)) @ variances
    pooled = pool_responses([outing(TRUE, WITHIN_SD, wander=known)] * 3, on_bike=False)
    assert pooled.wander_bpm2 == pytest.approx(variances, abs=1e-6)


def test_a_spread_is_found_by_likelihood_and_held_by_the_prior() -> None:
    rng = np.random.default_rng(4)
    x = 3.0 * rng.standard_normal(4000)

    def normal(data: np.ndarray) -> Any:
        return lambda sd: float(-data.size * np.log(sd[0]) - 0.5 * np.sum(data**2) / sd[0] ** 2)

    # Of much data the maximum likelihood, the root mean square; of none the usual size.
    many = likely_spreads(np.array([1.0]), normal(x))[0]
    assert many == pytest.approx(np.sqrt(np.mean(x**2)), rel=0.02)
    assert likely_spreads(np.array([1.0]), normal(x[:0]))[0] == pytest.approx(1.0, rel=0.03)
    # Of one value the two are weighed: where the slopes of both logarithms cancel.
    at = np.log(likely_spreads(np.array([1.0]), normal(np.array([100.0])))[0])
    assert 100.0**2 * np.exp(-2.0 * at) - 1.0 == pytest.approx(at / PRIOR_LOG_SD**2, rel=0.1)
