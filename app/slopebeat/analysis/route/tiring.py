"""Slowing down in the course of an outing: log speed on one grade over the hours, pooled over outings.

Each outing gives the slope of its log speed over time between parts of the outing on the *same* grade, so
that steep ground late in the day is not taken for tiredness. Slopes are pooled with a normal prior around
none and a spread between outings (random effects, as in :mod:`slopebeat.analysis.response.pooled`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.pooled_spread import likely_spreads
from slopebeat.analysis.route.evidence import LEAST_BIN_S, PART_S, Evidence
from slopebeat.model.past import GRADES
from slopebeat.model.track import Array

PRIOR_PER_H = 0.03
"""How far the usual change of log speed per hour may be from none [project choice]."""

DEFAULT_DAY_PER_H = 0.01
"""Where the search for its spread between outings starts [project choice]."""

LEAST_MINUTE_SD = 0.08
"""No minute's log speed is known better than this [project choice]."""

SMOOTHED_S = 600.0
"""Seconds on a grade that outweigh the mean time of all grades [project choice]."""

SLOWEST_FACTOR, FASTEST_FACTOR = 0.6, 1.15
"""Bounds of the factor on speed: beyond, nobody goes on as before [project choice]."""


@dataclass(frozen=True, eq=False)
class Tiring:
    """Change of log speed over time.

    Attributes
    ----------
    per_s, sd_per_s, day_sd_per_s : of the usual outing, its uncertainty, and the spread of outings.
    from_s : shape of ``GRADES``: when, on average, each grade was gone; the pooled speed holds then.
    """

    per_s: float
    sd_per_s: float
    day_sd_per_s: float
    from_s: Array

    @property
    def known(self) -> bool:
        """Whether outings told anything of it."""
        return self.sd_per_s > 0.0

    def interval_per_s(self, z: float) -> tuple[float, float]:
        """Changes ``z`` deviations either way, for an outing to come."""
        spread = float(np.hypot(self.sd_per_s, self.day_sd_per_s))
        return self.per_s - z * spread, self.per_s + z * spread

    def draw(self, count: int, rng: np.random.Generator) -> Array:
        """(count,) changes of log speed per second of outings to come."""
        spread = np.hypot(self.sd_per_s, self.day_sd_per_s)
        return self.per_s + spread * rng.standard_normal(count)

    def taken(self, one: Evidence) -> Array:
        """Log speed by grade that the usual slowing down took from an outing gone at its own times."""
        seconds = one.part_seconds.sum(axis=0)
        middle = (np.arange(one.part_seconds.shape[0]) + 0.5) * PART_S
        at = (middle @ one.part_seconds) / np.maximum(seconds, 1e-9)
        return np.asarray(np.where(seconds > 0.0, self.per_s * (at - self.from_s), 0.0))

    def factor(self, per_s: Array, t_s: Array, grade: Array) -> Array:
        """(m, n) factor on the pooled speed at (m, n) times into the outing on (n,) grades."""
        late = t_s - np.interp(grade, GRADES, self.from_s)
        return np.clip(np.exp(per_s[:, None] * late), SLOWEST_FACTOR, FASTEST_FACTOR)


FRESH = Tiring(0.0, 0.0, 0.0, np.zeros(GRADES.size))
"""Nothing known of tiring: none is counted."""


def pool_tiring(outings: Sequence[Evidence]) -> Tiring:
    """Pool the slowing down of outings of one kind; without any that lasted, none."""
    found = [one for each in outings if (one := _slope(each)) is not None]
    if not found:
        return FRESH
    rows = 3600.0 * np.array(found)
    day = likely_spreads(np.array([DEFAULT_DAY_PER_H]), lambda tried: _pooled(rows, tried[0])[0])[0]
    _, mean, sd = _pooled(rows, float(day))
    return Tiring(mean / 3600.0, sd / 3600.0, float(day) / 3600.0, _usual_time(outings))


def _slope(one: Evidence) -> tuple[float, float] | None:
    """Slope of the log speed per second within grades, and its standard error; None where it is not told."""
    part, grade = np.nonzero((one.part_seconds >= LEAST_BIN_S) & (one.part_metres > 0.0))
    if part.size == 0:
        return None
    seconds = one.part_seconds[part, grade]
    y = np.log(one.part_metres[part, grade] / seconds)
    t = (part + 0.5) * PART_S
    weight = seconds / 60.0
    total = np.bincount(grade, weight, GRADES.size)
    centred = []
    for values in (y, t):
        sums = np.bincount(grade, weight * values, GRADES.size)
        centred.append(values - (sums / np.maximum(total, 1e-9))[grade])
    y, t = centred
    spread, free = float(weight @ t**2), part.size - np.unique(grade).size - 1
    if spread <= 0.0 or free < 1:
        return None
    slope = float(weight @ (t * y)) / spread
    variance = max(float(weight @ (y - slope * t) ** 2) / free, LEAST_MINUTE_SD**2)
    return slope, float(np.sqrt(variance / spread))


def _pooled(rows: Array, day: float) -> tuple[float, float, float]:
    """Restricted log likelihood of a spread between outings; pooled slope, its standard error, per hour."""
    variance = rows[:, 1] ** 2 + day**2
    precision = PRIOR_PER_H**-2 + np.sum(1.0 / variance)
    mean = float(np.sum(rows[:, 0] / variance) / precision)
    lack = np.sum(np.log(variance) + rows[:, 0] ** 2 / variance) + np.log(precision) - precision * mean**2
    return -0.5 * float(lack), mean, float(precision**-0.5)


def _usual_time(outings: Sequence[Evidence]) -> Array:
    """Mean time into the outing at which each grade was gone."""
    seconds = np.zeros(GRADES.size)
    moments = np.zeros(GRADES.size)
    for one in outings:
        middle = (np.arange(one.part_seconds.shape[0]) + 0.5) * PART_S
        seconds += one.part_seconds.sum(axis=0)
        moments += middle @ one.part_seconds
    overall = moments.sum() / max(seconds.sum(), 1.0)
    return np.asarray((moments + SMOOTHED_S * overall) / (seconds + SMOOTHED_S))
