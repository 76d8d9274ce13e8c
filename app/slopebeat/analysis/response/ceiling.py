"""How fast to go on each grade so that heart rate settles at the upper edge of the band."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.fit import Response
from slopebeat.analysis.response.work_rate import LCDA_FASTEST_MPS, STANDING_W
from slopebeat.model.evidence import GRADE_STEP
from slopebeat.model.numerics import REACH_95, quantile, share_below
from slopebeat.model.track import Array, Track

Work = Callable[[Array, Array], Array]

LEAST_SECONDS = 60.0  # recorded time on a grade before it counts as seen [project choice]
BEYOND_SEEN = 1.3  # speeds are searched this far over the fastest seen on the grade [project choice]
SLOWEST_SEARCHED_MPS = 0.05  # where the search starts [project choice]
SPEED_STEPS = 400

SLOWEST_PASS_MPS = {False: 2.0 / 3.6, True: 5.0 / 3.6}
"""By on_bike: slower nobody rides or walks for long: a ceiling under it is no advice [project choice]."""

SLOWEST_CLIMB_MPS = 200.0 / 3600.0
"""Nor need anybody walk up faster than 200 m/h [project choice]."""

SURELY = 0.8
"""Probability that the slowest speed goes over the edge from which ground is too steep, not only perhaps
[project choice]."""


@dataclass(frozen=True)
class Doubt:
    """What the scatter of a fit cannot know, standard deviations.

    Attributes
    ----------
    level_bpm : heart rate of that hour: a bent drift, a heart that wanders.
    cost_share : what this ground costs beyond standing, against the cost curve.
    """

    level_bpm: float
    cost_share: float


DOUBTS = {"run": Doubt(2.1, 0.07), "walk": Doubt(2.8, 0.11), "ride": Doubt(3.5, 0.11)}
"""[project choice] Chosen on steady three minutes of real outings that were kept from the fit, where 95 %
intervals then hold 95 % (without these doubts 83 %), and on simulated ones."""


@dataclass(frozen=True, eq=False)
class Ceiling:
    """Speeds whose steady heart rate is the band's upper edge; arrays of one shape (m,).

    Attributes
    ----------
    grade : middle of each grade bin, rise over run. seen_s : recorded seconds of moving on it.
    speed_mps : along the map, NaN where the grade was not seen long enough, or where the edge lies outside
        the speeds searched (the two flags say which). vertical_speed_mps : speed times grade.
    low_mps, high_mps : 95 % interval of the speed; NaN where it is open on that side.
    fits_any_speed : True where even the fastest speed searched stays under the edge.
    exceeds_at_once : True where the slowest speed anyone keeps already goes over it.
    too_steep : probability that it does; NaN where the grade was not seen long enough.
    at_s : time into the outing the ceiling is for; drift lowers it later.
    """

    grade: Array
    seen_s: Array
    speed_mps: Array
    vertical_speed_mps: Array
    low_mps: Array
    high_mps: Array
    fits_any_speed: NDArray[np.bool_]
    exceeds_at_once: NDArray[np.bool_]
    too_steep: Array
    at_s: float

    @property
    def gentlest_too_steep(self) -> float | None:
        """The gentlest climbing grade that is surely too steep to be gone in band; None where none is."""
        steep = self.grade[(self.grade > 0.0) & (self.too_steep > SURELY)]
        return float(steep.min()) if steep.size else None


def steady_heart_rate(
    response: Response, work_w_per_kg: Array, climb_mps: Array, at_s: float
) -> tuple[Array, Array]:
    """Heart rate the fit settles at under steady work and climbing, and its standard error.

    Parameters
    ----------
    work_w_per_kg, climb_mps : (m,) steady work rate and vertical speed (negative = sinking).
    at_s : time into the outing.

    Returns
    -------
    (m,) heart rate and standard error of it, bpm (of the fit, not the scatter about it).

    Raises
    ------
    ValueError if nothing was fitted.
    """
    posterior = response.posterior
    if posterior is None:
        raise ValueError("nothing was fitted")
    design = np.zeros((work_w_per_kg.size, posterior.beta.shape[1]))
    design[:, 0] = 1.0
    design[:, 1] = at_s - posterior.centre_t_s
    design[:, 2] = work_w_per_kg
    design[:, 3] = np.maximum(climb_mps, 0.0)
    design[:, 4] = np.maximum(-climb_mps, 0.0)
    # Steady means that the slow part has come too: it is zero.
    design[:, 2:] -= posterior.mean_centre
    variance = np.einsum("mi,ij,mj->m", design, posterior.total_covariance, design)
    return design @ posterior.mean, np.sqrt(np.maximum(variance, 0.0))


@dataclass(frozen=True, eq=False)
class GradeSpeeds:
    """The speeds searched on one grade, before a band is chosen: the same for every edge.

    Attributes
    ----------
    grade, seen_s : as in :class:`Ceiling`. slowest_mps : the slowest speed anyone keeps on it.
    speed_mps, hr_bpm, error_bpm : (k,) speeds, heart rate each settles at, and its standard error with what
        the fit cannot know; empty where the grade was not seen long enough.
    at_s : time into the outing they are for.
    """

    grade: float
    seen_s: float
    slowest_mps: float
    speed_mps: Array
    hr_bpm: Array
    error_bpm: Array
    at_s: float


def speeds_by_grade(
    response: Response, track: Track, work: Work, at_s: float | None = None
) -> tuple[GradeSpeeds, ...]:
    """The speeds of each grade bin between the lowest and highest grade of the outing.

    Parameters
    ----------
    work : ``work(speed_mps, grade)`` gives W/kg, NaN outside its validity; must be the cost the response
        was fitted on.
    at_s : time into the outing; None = the middle of what was fitted.

    Returns
    -------
    Nothing when nothing was fitted or no grade was seen.
    """
    if response.posterior is None:
        return ()
    at = response.posterior.centre_t_s if at_s is None else at_s
    seen = np.isfinite(track.grade) & track.moving & (track.recorded_s > 0.0)
    if not seen.any():
        return ()
    bins = np.floor(track.grade[seen] / GRADE_STEP + 0.5).astype(int)
    speeds, lasts = track.speed_mps[seen], track.recorded_s[seen]
    doubt = DOUBTS[foot_or_ride(track.on_bike, speeds, lasts)]
    standing_w = STANDING_W[track.on_bike]
    found = []
    for step in range(int(bins.min()), int(bins.max()) + 1):
        here, grade = bins == step, step * GRADE_STEP
        seconds = float(lasts[here].sum())
        searched = (np.zeros(0),) * 3
        if seconds >= LEAST_SECONDS:
            known = speeds[here][np.isfinite(speeds[here])]
            fastest = BEYOND_SEEN * (quantile(known, 0.98) if known.size else np.nan)
            searched = _settled(response, grade, fastest, work, at, doubt, standing_w)
        found.append(GradeSpeeds(grade, seconds, float(slowest_mps(track.on_bike, grade)), *searched, at))
    return tuple(found)


def ceiling(by_grade: Sequence[GradeSpeeds], band_upper_bpm: float) -> Ceiling | None:
    """Ceiling for each grade under the band's upper edge; None when no grade was seen."""
    if not by_grade:
        return None
    rows = [(each.grade, each.seen_s, *_crossings(each, band_upper_bpm)) for each in by_grade]
    grades, seen_s, held, low, high, fits, exceeds, steep = np.array(rows, float).T
    at_s = by_grade[0].at_s
    return Ceiling(grades, seen_s, held, held * grades, low, high, fits > 0.0, exceeds > 0.0, steep, at_s)


def slowest_mps(on_bike: bool, grade: Array | float) -> Array | float:
    """The slowest speed anyone keeps on a grade."""
    slowest = SLOWEST_PASS_MPS[on_bike]
    return slowest if on_bike else np.minimum(slowest, SLOWEST_CLIMB_MPS / np.maximum(grade, 1e-3))


def foot_or_ride(on_bike: bool, speed_mps: Array, recorded_s: Array) -> str:
    """Which doubts hold: a run is faster than walking goes most of its time."""
    if on_bike:
        return "ride"
    fast = float(recorded_s[speed_mps > LCDA_FASTEST_MPS].sum())
    return "run" if fast > 0.5 * float(recorded_s.sum()) else "walk"


def _settled(
    response: Response, grade: float, fastest: float, work: Work, at: float, doubt: Doubt, standing_w: float
) -> tuple[Array, Array, Array]:
    """Speeds, heart rate each settles at, and its standard error with what the fit cannot know."""
    speed = np.linspace(SLOWEST_SEARCHED_MPS, max(fastest, 2.0 * SLOWEST_SEARCHED_MPS), SPEED_STEPS)
    cost = np.asarray(work(speed, np.full_like(speed, grade)), float)
    known = np.isfinite(cost)
    speed, cost = speed[known], cost[known]
    hr, error = steady_heart_rate(response, cost, speed * grade, at)
    gain = max(response.work_bpm_per_w_kg or 0.0, 0.0)
    ground = gain * np.abs(cost - standing_w) * doubt.cost_share
    return speed, hr, np.sqrt(error**2 + doubt.level_bpm**2 + ground**2)


def _crossings(searched: GradeSpeeds, edge: float) -> tuple[float, float, float, float, float, float]:
    """Speed at the edge, its interval, whether all speeds lie under or over the edge, how probably over.

    The interval holds the speeds whose steady heart rate might be the edge (inverse prediction).
    """
    speed, hr, error, slowest = searched.speed_mps, searched.hr_bpm, searched.error_bpm, searched.slowest_mps
    if speed.size == 0:
        return np.nan, np.nan, np.nan, 0.0, 0.0, np.nan
    reach = REACH_95 * error
    start = float(np.interp(slowest, speed, hr)) - edge
    steep = share_below(start / float(np.interp(slowest, speed, error)))
    middle, low, high = (first_over(speed, rate, edge) for rate in (hr, hr + reach, hr - reach))
    if start > 0.0:
        return np.nan, np.nan, np.nan, 0.0, 1.0, steep
    return middle, low, high, float(hr.max() < edge), 0.0, steep


def first_over(speed: Array, hr: Array, edge: float) -> float:
    """Lowest speed at which ``hr`` rises through ``edge``; NaN when it starts over it or never does."""
    over = np.flatnonzero(hr >= edge)
    if over.size == 0 or over[0] == 0:
        return float("nan")
    k = int(over[0])
    share = (edge - hr[k - 1]) / (hr[k] - hr[k - 1])
    return float(speed[k - 1] + share * (speed[k] - speed[k - 1]))
