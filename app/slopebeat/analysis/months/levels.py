"""Outings of one kind reduced to what months compare: heart rate at the usual work, and its drift.

Each outing's fit gives coefficients with a covariance. Slopes are an athlete's rather than an outing's: they
are replaced by what all outings say, so that one short or even in its work has no level of its own by
extrapolation (empirical Bayes; multivariate random effects: Jackson, White, Thompson 2010, Stat Med 29:1282
- from memory).

Beside the levels stands what is known of outings that moves their heart rate, so that it does not pass for a
change of fitness.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.prediction import MEAN_WORK_SD
from slopebeat.model.evidence import POWER, FitEvidence, OutingEvidence
from slopebeat.model.track import Array

SCALE = {"level": 4.5, "drift": 3.0}
"""Usual day-to-day spread: level bpm, drift bpm/h [project choice, measured on two athletes' months]."""

REFERENCE_H = 1.0
"""Hour into the outing at which levels are compared [project choice]."""

DAY_SD = {False: np.array([4.0, 3.0, 0.8, 20.0, 20.0]), True: np.array([5.0, 2.5, 2.0, 30.0, 20.0])}
"""By on_bike, where the search for the spread between outings starts: level bpm, drift bpm/h, beats per
W/kg, per m/s climbed, per m/s sunk [project choice, measured on two athletes' months]."""

FLAT_PRECISION = 1e-6

SPREAD_LOG_SD = 0.7
"""How far, as a factor e^0.7 = 2, a spread may be from its usual size [project choice]."""


@dataclass(frozen=True, eq=False)
class Levels:
    """Level and drift of n outings.

    Attributes
    ----------
    value : (n, 2) heart rate at the usual work and hour one (bpm), drift (bpm/h).
    covariance : (n, 2, 2) of each. usual : (3,) work W/kg, climbing and sinking m/s they are compared at.
    """

    value: Array
    covariance: Array
    usual: Array


def levels_of(fits: Sequence[FitEvidence], on_bike: bool) -> Levels:
    """Reduce outings of one kind to level and drift; at least one."""
    usual = np.median([fit.centre for fit in fits], axis=0)
    moved = [_at(fit, usual) for fit in fits]
    rows, within = np.array([m[0] for m in moved]), np.array([m[1] for m in moved])
    day_sd = likely_spreads(DAY_SD[on_bike], lambda sd: _pooled(rows, within, sd)[0])
    mean = _pooled(rows, within, day_sd)[1]
    misfit = within.copy()
    misfit[:, 2:, 2:] += np.diag(day_sd[2:] ** 2)
    gain = misfit[:, :2, 2:] @ np.linalg.inv(misfit[:, 2:, 2:])
    value = rows[:, :2] - np.einsum("nij,nj->ni", gain, rows[:, 2:] - mean[2:])
    covariance = misfit[:, :2, :2] - gain @ misfit[:, 2:, :2]
    return Levels(value, 0.5 * (covariance + covariance.transpose(0, 2, 1)), usual)


def _at(fit: FitEvidence, usual: Array) -> tuple[Array, Array]:
    """Coefficients with the level moved to the reference."""
    move = np.eye(5)
    move[0, 1] = REFERENCE_H - fit.centre_h
    move[0, 2:] = usual - fit.centre
    return move @ fit.coefficients, move @ fit.covariance @ move.T


def _pooled(rows: Array, within: Array, day_sd: Array) -> tuple[float, Array]:
    """Restricted log likelihood of the spreads between outings, and the pooled mean."""
    inverse = np.linalg.inv(within + np.diag(day_sd**2))
    precision = inverse.sum(axis=0) + FLAT_PRECISION * np.eye(5)
    mean = np.linalg.solve(precision, np.einsum("nij,nj->i", inverse, rows))
    left = rows - mean
    chance = 0.5 * float(np.linalg.slogdet(inverse)[1].sum())
    chance -= 0.5 * float(np.einsum("ni,nij,nj->", left, inverse, left))
    chance -= 0.5 * float(np.linalg.slogdet(precision)[1])
    return chance, mean


def level_with_usual_drift(levels: Levels, drift: float, drift_sd: float) -> tuple[Array, Array]:
    """(n,) levels and their variances once the athlete's usual drift is known.

    Otherwise an outing too short to tell its own drift would carry that uncertainty into the level.
    """
    spread = levels.covariance.copy()
    spread[:, 1, 1] += drift_sd**2
    gain = spread[:, 0, 1] / spread[:, 1, 1]
    return levels.value[:, 0] - gain * (levels.value[:, 1] - drift), spread[:, 0, 0] - gain * spread[:, 0, 1]


def series_of(levels: Levels) -> dict[str, tuple[Array, Array]]:
    """Value and variance of each figure of each outing."""
    spread = levels.covariance[:, 1, 1] + SCALE["drift"] ** 2
    drift = float(np.average(levels.value[:, 1], weights=1.0 / spread))
    return {
        "level": level_with_usual_drift(levels, drift, SCALE["drift"]),
        "drift": (levels.value[:, 1], levels.covariance[:, 1, 1]),
    }


def likely_spreads(usual: Array, log_likelihood: Callable[[Array], float]) -> Array:
    """(k,) deviations that make the data likeliest, each drawn towards its usual size.

    Parameters
    ----------
    usual : (k,) positive, where the search starts.
    log_likelihood : of the data, the means integrated out, for (k,) deviations.
    """
    from scipy.optimize import minimize

    start = np.log(usual)

    def lack(x: Array) -> float:
        return float(np.sum((x - start) ** 2)) / (2.0 * SPREAD_LOG_SD**2) - log_likelihood(np.exp(x))

    found = minimize(
        lack, start, method="Nelder-Mead", options={"xatol": 0.02, "fatol": 0.02, "maxiter": 600}
    )
    return np.asarray(np.exp(found.x), dtype=float)


SOURCE_SD, SPORT_SD, PER_C_SD, PER_KG_SD, PER_HOUR_SD = 15.0, 6.0, 0.5, 0.5, 1.5
"""How far each may move the level: recorded power against computed work bpm (the model may be off by half of
what a meter reads), another sport of the kind bpm, each degree of heat, each kilogram of load, each hour the
outing lasts [project choice]; they go with the usual spread of the level."""

HEAT_FROM_C = 20.0
"""Air from which it counts as heat [project choice]."""


@dataclass(frozen=True, eq=False)
class Known:
    """(n, p) columns about their means, without constant ones, and the (p,) precisions of their effects."""

    columns: Array
    precision: Array


def known_of(outings: Sequence[OutingEvidence], mean_work: Array, scale: float) -> Known:
    """What is known of outings of one kind.

    Parameters
    ----------
    mean_work : (n,) W/kg over what was fitted. scale : usual day-to-day spread of the figure; effects are in
        proportion to it.
    """
    usual_sport = Counter(one.sport for one in outings).most_common(1)[0][0]
    columns = {
        "work": (mean_work, MEAN_WORK_SD[outings[0].on_bike]),
        "source": ([one.work_source == POWER for one in outings], SOURCE_SD),
        "sport": ([one.sport != usual_sport for one in outings], SPORT_SD),
        "heat": ([_heat(one) for one in outings], PER_C_SD),
        "load": ([one.load_kg for one in outings], PER_KG_SD),
        "hours": ([one.moving_s / 3600.0 for one in outings], PER_HOUR_SD),
    }
    kept, precision = [], []
    for values, sd in columns.values():
        column = _centred(np.array(values, dtype=float))
        if np.ptp(column) > 1e-9:
            kept.append(column)
            precision.append((sd * scale / SCALE["level"]) ** -2.0)
    return Known(np.column_stack(kept) if kept else np.zeros((len(outings), 0)), np.array(precision))


def _heat(one: OutingEvidence) -> float:
    return np.nan if one.temperature_c is None else max(one.temperature_c - HEAT_FROM_C, 0.0)


def _centred(values: Array) -> Array:
    """Values minus their mean; unknown ones count as the mean."""
    seen = np.isfinite(values)
    if not seen.any():
        return np.zeros(values.shape)
    return np.where(seen, values - values[seen].mean(), 0.0)


@dataclass(frozen=True)
class NamedChange:
    """Something that differs in the second half of the outings: its key, and both values."""

    what: str
    before: str
    after: str
    first: int
    """Index of the first outing with the later value."""


def named_changes(outings: Sequence[OutingEvidence]) -> tuple[NamedChange, ...]:
    """Changes of meter, sport and device that may be mistaken for a change in the athlete."""
    found = []
    for what in ("work_source", "sport", "device"):
        values = [str(getattr(one, what) or "") for one in outings]
        half = len(values) // 2
        if not half:
            continue
        before = Counter(values[:half]).most_common(1)[0][0]
        after = Counter(values[half:]).most_common(1)[0][0]
        if before and after and before != after:
            found.append(NamedChange(what, before, after, values.index(after)))
    return tuple(found)
