"""The athlete's own speed on each grade, pooled over outings with their spread.

``log v = log reference(grade) + d(grade) + outing + rest``: ``d`` is a random walk over grade, so that it
is smooth where grades were seen, keeps the reference's shape where they were not, and grows less certain
with every step away from them. ``outing`` and ``rest`` spread from outing to outing. Deviations are found by
their marginal likelihood with a weak prior (empirical Bayes; Rue & Held, Gaussian Markov Random Fields,
2005, ch. 3 - from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.pooled_spread import likely_spreads
from slopebeat.analysis.route.evidence import LEAST_BIN_S, Evidence
from slopebeat.analysis.route.hiking_time import tobler_mps
from slopebeat.analysis.route.tiring import FRESH, Tiring
from slopebeat.analysis.route.work import FASTEST_MPS, SLOWEST_MPS, Going
from slopebeat.model.past import GRADES
from slopebeat.model.track import Array

DEFAULT_RIDE_W_PER_KG = 1.8
"""Pedalling of a rider of whom nothing is known [project choice]."""

DEFAULT_RIDE_FASTEST_MPS = 6.0
"""... and the speed where such a rider brakes [project choice]."""

DEFAULT_SPREAD = 0.25
"""Deviation of the log speed of an unknown athlete from the reference [project choice]."""

DEFAULT_STEP, DEFAULT_OUTING, DEFAULT_REST, DEFAULT_MINUTE = 0.06, 0.04, 0.04, 0.12
"""Where the search for deviations of the log speed starts: per grade bin, per outing, per outing and grade,
and of one minute on a grade [project choice]."""

LEAST_SD = 0.003
"""No spread goes under 0.3 % of speed, less than a distance is known to [project choice]."""

LEAST_SEEN_S = 120.0
"""A grade gone for less than this in all outings counts as never seen [project choice]."""

SMOOTHED_S = 300.0
"""Seconds on a grade that outweigh the steady cost model there [project choice]."""

LEVEL = GRADES.size // 2


@dataclass(frozen=True, eq=False)
class PooledSpeed:
    """Speed by grade of one athlete without a load; arrays have the shape of ``GRADES`` (n,).

    Attributes
    ----------
    log_mps, covariance : mean and (n, n) covariance of the log speed of the usual outing.
    outing_sd, rest_sd : spread of the log speed between outings: whole, and on each grade by itself.
    minute_sd : spread of the log speed of a single minute; over several it falls with their root.
    extra_work_w_per_kg : mean work rate less that of the steady cost model at the mean speed.
    seen_s, outings : moving seconds and number of outings on each grade.
    outing_count : outings pooled.
    """

    log_mps: Array
    covariance: Array
    outing_sd: float
    rest_sd: float
    minute_sd: float
    extra_work_w_per_kg: Array
    seen_s: Array
    outings: np.ndarray
    outing_count: int

    @property
    def seen(self) -> np.ndarray:
        """Whether each grade was seen long enough."""
        return np.asarray(self.seen_s >= LEAST_SEEN_S)

    @property
    def speed_mps(self) -> Array:
        return np.exp(self.log_mps)

    def interval_mps(self, z: float) -> tuple[Array, Array]:
        """Speeds ``z`` deviations either way, for an outing to come."""
        sd = np.sqrt(np.diag(self.covariance) + self.outing_sd**2 + self.rest_sd**2)
        return np.exp(self.log_mps - z * sd), np.exp(self.log_mps + z * sd)

    def draw(self, count: int, minutes: Array, rng: np.random.Generator) -> Array:
        """(count, n) log speeds of outings to come that last (n,) ``minutes`` on each grade."""
        root = np.linalg.cholesky(self.covariance + 1e-10 * np.eye(GRADES.size))
        usual = self.log_mps + rng.standard_normal((count, GRADES.size)) @ root.T
        heavy = np.sqrt((self.outing_count + 3.0) / rng.chisquare(self.outing_count + 3.0, (count, 1)))
        today = self.outing_sd * heavy * rng.standard_normal((count, 1))
        # Surges last longer than a grade does, so they are shared by all grades of a way.
        surges = self.minute_sd / np.sqrt(max(float(minutes.sum()), 1.0)) * rng.standard_normal((count, 1))
        return np.asarray(usual + today + surges + self.rest_sd * rng.standard_normal(usual.shape))


def reference_mps(going: Going) -> Array:
    """Speed by grade of somebody of whom nothing is known: Tobler 1993 on foot, a steady ride on a bike."""
    if going.on_bike:
        return np.minimum(going.speed_for(DEFAULT_RIDE_W_PER_KG, GRADES), DEFAULT_RIDE_FASTEST_MPS)
    return np.clip(tobler_mps(GRADES), SLOWEST_MPS[False], FASTEST_MPS[False])


@dataclass(frozen=True, eq=False)
class _Seen:
    """One row per outing and grade: (m,) deviations of the log speed, and the minutes behind each."""

    y: Array
    grade: np.ndarray
    outing: np.ndarray
    minutes: Array
    outing_count: int


def pool_speed(outings: Sequence[Evidence], going: Going, tiring: Tiring = FRESH) -> PooledSpeed:
    """Pool the speed by grade of outings of one kind; without any, the stated defaults with their spread.

    ``going`` carries the masses the outings' loads are taken off with. With ``tiring`` the speed is the one
    at the usual time on each grade: what a longer day took is given back first.
    """
    reference = np.log(reference_mps(going))
    seen = _rows(outings, going, reference, tiring)
    sds = np.array([DEFAULT_STEP, DEFAULT_OUTING, DEFAULT_REST, DEFAULT_MINUTE])
    if seen.y.size:
        sds = likely_spreads(sds, lambda tried: _solve(seen, tried)[0])
    _, mean, covariance = _solve(seen, sds)
    return PooledSpeed(
        log_mps=reference + mean,
        covariance=covariance,
        outing_sd=float(sds[1]),
        rest_sd=float(sds[2]),
        minute_sd=float(sds[3]),
        extra_work_w_per_kg=_extra_work(outings, going),
        seen_s=sum((e.seconds for e in outings), np.zeros(GRADES.size)),
        outings=sum((e.seconds >= LEAST_BIN_S for e in outings), np.zeros(GRADES.size, dtype=int)),
        outing_count=len(outings),
    )


def _rows(outings: Sequence[Evidence], going: Going, reference: Array, tiring: Tiring) -> _Seen:
    parts: list[tuple[Array, np.ndarray, np.ndarray, Array]] = []
    for number, one in enumerate(outings):
        here = np.flatnonzero((one.seconds >= LEAST_BIN_S) & (one.metres > 0.0))
        speed = one.metres[here] / one.seconds[here]
        speed = going.without_load(speed, GRADES[here], one.load_kg[here])
        gone = np.log(speed) - tiring.taken(one)[here]
        parts.append((gone - reference[here], here, np.full(here.size, number), one.seconds[here] / 60))
    if not parts:
        none = np.zeros(0)
        return _Seen(none, np.zeros(0, int), np.zeros(0, int), none, 0)
    y, grade, outing, minutes = (np.concatenate(column) for column in zip(*parts, strict=True))
    return _Seen(y, grade, outing, minutes, len(parts))


def _solve(seen: _Seen, sds: Array) -> tuple[float, Array, Array]:
    """Log marginal likelihood, and mean and covariance of the deviation from the reference by grade."""
    step, outing, rest, minute = np.maximum(sds, LEAST_SD)
    n, size = GRADES.size, GRADES.size + seen.outing_count
    prior = np.zeros((size, size))
    walk = np.diff(np.eye(n), axis=0)
    prior[:n, :n] = walk.T @ walk / step**2
    prior[LEVEL, LEVEL] += DEFAULT_SPREAD**-2
    prior[range(n, size), range(n, size)] = outing**-2
    weight = 1.0 / (rest**2 + minute**2 / seen.minutes)
    precision, cross = prior.copy(), np.zeros(size)
    at = (seen.grade, n + seen.outing)
    for i in at:
        np.add.at(cross, i, weight * seen.y)
        for j in at:
            np.add.at(precision, (i, j), weight)
    root = np.linalg.cholesky(precision)
    half = np.linalg.solve(root, cross)
    inverse: Array = np.asarray(np.linalg.inv(precision), dtype=float)
    log_prior = np.linalg.slogdet(prior)[1]
    log_likelihood = 0.5 * (
        np.sum(np.log(weight))
        + log_prior
        - 2.0 * np.log(np.diag(root)).sum()
        - weight @ seen.y**2
        + half @ half
    )
    return float(log_likelihood), (inverse @ cross)[:n], inverse[:n, :n]


def _extra_work(outings: Sequence[Evidence], going: Going) -> Array:
    """Mean work less the steady model's, by grade: surges, coasting, and what a power meter knows better."""
    total, seconds = np.zeros(GRADES.size), np.full(GRADES.size, SMOOTHED_S)
    for one in outings:
        has = (one.seconds >= LEAST_BIN_S) & np.isfinite(one.work_w_per_kg)
        speed = one.metres[has] / one.seconds[has]
        steady = going.work_w_per_kg(speed, GRADES[has], one.load_kg[has])
        total[has] += one.seconds[has] * (one.work_w_per_kg[has] - steady)
        seconds[has] += one.seconds[has]
    return total / seconds
