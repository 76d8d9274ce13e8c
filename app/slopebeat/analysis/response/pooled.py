"""One heart-rate response from several outings, with its spread from day to day.

Each outing's fit gives coefficients ``b_i`` with a covariance ``S_i``; across outings ``b_i ~ N(m, S_i +
T)`` with a diagonal ``T`` found by restricted maximum likelihood with a weak prior (multivariate random
effects: Jackson, White, Thompson 2010, Stat Med 29:1282 - from memory). The first coefficient is the heart
rate at one common work and time, so that its spread is that of whole days.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.mixture import Mixture
from slopebeat.analysis.response.pooled_spread import likely_spreads
from slopebeat.analysis.route.evidence import WANDER_LAGS_S, Evidence
from slopebeat.model.track import Array

REFERENCE_S = 3600.0
"""Time into an outing at which its heart-rate level is compared [project choice]."""

REFERENCE_W_PER_KG = {False: 6.0, True: 1.8}
"""By on_bike: work rate at which it is compared; brisk walking uphill, steady riding [project choice]."""

DEFAULTS = {
    False: np.array([122.0, 4.0 / 3600.0, 11.0, 0.0, 0.0]),
    True: np.array([122.0, 4.0 / 3600.0, 25.0, 0.0, 0.0]),
}
"""By on_bike, of an athlete of whom nothing is known: heart rate at the reference (bpm), drift (bpm/s),
beats per W/kg, per m/s of climbing and per m/s of sinking [project choice]."""

DEFAULT_SD = {
    False: np.array([15.0, 4.0 / 3600.0, 4.0, 20.0, 20.0]),
    True: np.array([15.0, 4.0 / 3600.0, 8.0, 30.0, 20.0]),
}
"""How far such an athlete may be from it [project choice]."""

DEFAULT_DAY_SD = {
    False: np.array([1.6, 1.5 / 3600.0, 0.6, 6.0, 6.0]),
    True: np.array([1.6, 1.5 / 3600.0, 1.5, 6.0, 3.0]),
}
"""Where the search for the spread between outings starts. Level: submaximal heart rate varies by 1.1-1.4 %
from day to day (Lamberts 2004, J Strength Cond Res 18:641); the others [project choice]."""

DEFAULT_TAU_S, DEFAULT_TAU_LOG_SD = 57.6, 0.4
"""Time constant, and its spread 23.6 s as a share (Hunt 2015, doi:10.1186/s12938-015-0112-7)."""

WANDER_TAUS_S = (15.0, 60.0, 240.0, 900.0)
"""Memories the heart's wander is made of [project choice]."""

DEFAULT_WANDER = np.array([1.0, 3.0, 6.0, 1.0])
"""Its variances in bpm2 while nothing is known: a deviation of 3.3 bpm [project choice]."""

DEFAULT_REST_WANDER = np.array([1.0, 3.0, 0.0, 0.0])


@dataclass(frozen=True, eq=False)
class PooledResponse:
    """The response of one athlete in one kind of movement.

    Attributes
    ----------
    mean, covariance : (5,) and (5, 5) of the usual outing; coefficients as in ``DEFAULTS``.
    day_sd : (5,) spread between outings. tau_s, tau_log_sd : usual time constant and its spread.
    wander_bpm2 : variances, one for each of ``WANDER_TAUS_S``, of the heart rate about what ground and
        time explain; rest_wander_bpm2 about what the work itself explains.
    longest_s : how far into an outing the drift has been seen.
    outing_count : outings pooled; 0 means stated defaults only.
    """

    on_bike: bool
    mean: Array
    covariance: Array
    day_sd: Array
    tau_s: float
    tau_log_sd: float
    wander_bpm2: Array
    rest_wander_bpm2: Array
    longest_s: float
    outing_count: int

    @property
    def reference(self) -> Array:
        """(5,) what the coefficients multiply at the reference: one, no time since, work, no slope."""
        return np.array([1.0, REFERENCE_S, REFERENCE_W_PER_KG[self.on_bike], 0.0, 0.0])

    @property
    def rest_bpm(self) -> float:
        """Heart rate at no work and time 0 of the usual outing: an extrapolation."""
        return float(self.mean[0] - self.mean[1:] @ self.reference[1:])

    def draw(self, count: int, rng: np.random.Generator) -> tuple[Array, Array]:
        """(count, 5) coefficients and (count,) time constants of outings to come.

        The first coefficient is turned into the heart rate at no work and time 0.
        """
        root = np.linalg.cholesky(self.covariance)
        usual = self.mean + rng.standard_normal((count, 5)) @ root.T
        heavy = np.sqrt((self.outing_count + 3.0) / rng.chisquare(self.outing_count + 3.0, (count, 1)))
        drawn = usual + heavy * self.day_sd * rng.standard_normal((count, 5))
        drawn[:, 2] = np.maximum(drawn[:, 2], 0.1 * self.mean[2])
        drawn[:, 0] -= drawn[:, 1:] @ self.reference[1:]
        tau = self.tau_s * np.exp(self.tau_log_sd * rng.standard_normal(count))
        return drawn, np.clip(tau, 15.0, 180.0)


def pool_responses(outings: Sequence[Evidence], on_bike: bool) -> PooledResponse:
    """Pool the responses of outings of one kind; without any, the stated defaults with their spread."""
    usable = [one for one in outings if one.has_heart]
    rows = [at_reference(p, on_bike) for one in usable if (p := one.response.own) is not None]
    day_sd = DEFAULT_DAY_SD[on_bike]
    if rows:
        day_sd = likely_spreads(day_sd, lambda sd: _pooled(rows, sd, on_bike)[0])
    _, mean, covariance = _pooled(rows, day_sd, on_bike)
    tau, tau_sd = _time_constant(np.array([one.response.tau_s for one in usable], dtype=float))
    return PooledResponse(
        on_bike=on_bike,
        mean=mean,
        covariance=covariance,
        day_sd=day_sd,
        tau_s=tau,
        tau_log_sd=tau_sd,
        wander_bpm2=_wander([one.wander for one in usable], DEFAULT_WANDER),
        rest_wander_bpm2=_wander([one.rest_wander for one in usable], DEFAULT_REST_WANDER),
        longest_s=max((one.span_s for one in usable), default=0.0),
        outing_count=len(usable),
    )


def at_reference(posterior: Mixture, on_bike: bool) -> tuple[Array, Array]:
    """(5,) coefficients of one outing with the level at the reference, and their (5, 5) covariance."""
    move = np.zeros((len(posterior.weight), 5, posterior.beta.shape[1]))
    move[:, range(5), range(5)] = 1.0
    move[:, 0, 1] = REFERENCE_S - posterior.centre_t_s
    move[:, 0, 2:] = -posterior.centre
    move[:, 0, 2] += REFERENCE_W_PER_KG[on_bike]
    each = np.einsum("kij,kj->ki", move, posterior.beta)
    mean = posterior.weight @ each
    within = np.einsum("k,kij,kjl,kml->im", posterior.weight, move, posterior.covariance, move)
    apart = each - mean
    return mean, within + np.einsum("k,ki,kj->ij", posterior.weight, apart, apart)


def _pooled(rows: list[tuple[Array, Array]], day_sd: Array, on_bike: bool) -> tuple[float, Array, Array]:
    """Restricted log likelihood of the spread, and the pooled mean with its covariance."""
    precision = np.diag(DEFAULT_SD[on_bike] ** -2.0)
    cross = precision @ DEFAULTS[on_bike]
    log_likelihood = -0.5 * float(DEFAULTS[on_bike] @ cross)
    for mean, within in rows:
        total = within + np.diag(day_sd**2)
        inverse = np.linalg.inv(total)
        precision = precision + inverse
        cross = cross + inverse @ mean
        log_likelihood -= 0.5 * (float(np.linalg.slogdet(total)[1]) + float(mean @ inverse @ mean))
    covariance: Array = np.asarray(np.linalg.inv(precision), dtype=float)
    pooled = covariance @ cross
    log_likelihood += 0.5 * (float(np.linalg.slogdet(covariance)[1]) + float(pooled @ cross))
    return log_likelihood, pooled, 0.5 * (covariance + covariance.T)


def _time_constant(taus_s: Array) -> tuple[float, float]:
    """Usual time constant, and the spread of its logarithm; the published one counts as one outing."""
    logs = np.log(np.append(taus_s, DEFAULT_TAU_S))
    spread = np.sqrt((np.sum((logs - logs.mean()) ** 2) + DEFAULT_TAU_LOG_SD**2) / logs.size)
    return float(np.exp(logs.mean())), float(spread)


def _wander(measured: list[Array], default: Array) -> Array:
    """Variances of memories that add up to the mean autocovariance."""
    from scipy.optimize import nnls

    known = [one for one in measured if np.isfinite(one).all()]
    if not known:
        return default
    lags = np.array(WANDER_LAGS_S)
    basis = np.exp(-lags[:, None] / np.array(WANDER_TAUS_S))
    return np.asarray(nnls(basis, np.maximum(np.mean(known, axis=0), 0.0))[0])
