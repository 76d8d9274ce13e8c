"""How fast to go on each grade so that heart rate settles at the upper edge of the band."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.fit import Response
from slopebeat.model.track import Array, Track

Work = Callable[[Array, Array], Array]

GRADE_STEP = 0.02  # width of a grade bin [project choice]
LEAST_SECONDS = 60.0  # recorded time on a grade before it counts as seen [project choice]
BEYOND_SEEN = 1.3  # speeds are searched this far over the fastest seen on the grade [project choice]
SLOWEST_MPS = 0.05  # slower than any walk: a ceiling under it is none [project choice]
SPEED_STEPS = 400


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
    exceeds_at_once : True where the slowest already goes over it.
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
    at_s: float


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


def ceiling(
    response: Response,
    band_upper_bpm: float,
    track: Track,
    work: Work,
    at_s: float | None = None,
) -> Ceiling | None:
    """Ceiling for each grade bin between the lowest and highest grade of the outing.

    Parameters
    ----------
    band_upper_bpm : upper edge of the band.
    work : ``work(speed_mps, grade)`` gives W/kg, NaN outside its validity; must be the cost the response
        was fitted on.
    at_s : time into the outing; None = the middle of what was fitted.

    Returns
    -------
    Ceiling, or None when nothing was fitted or no grade was seen.
    """
    if response.posterior is None:
        return None
    at = response.posterior.centre_t_s if at_s is None else at_s
    seen = np.isfinite(track.grade) & track.moving & (track.recorded_s > 0.0)
    if not seen.any():
        return None
    bins = np.floor(track.grade[seen] / GRADE_STEP + 0.5).astype(int)
    speeds, lasts = track.speed_mps[seen], track.recorded_s[seen]
    rows = []
    for step in range(int(bins.min()), int(bins.max()) + 1):
        here = bins == step
        seconds = float(lasts[here].sum())
        if seconds < LEAST_SECONDS:
            rows.append((step * GRADE_STEP, seconds, np.nan, np.nan, np.nan, 0.0, 0.0))
            continue
        fastest = BEYOND_SEEN * float(np.nanpercentile(speeds[here], 98.0))
        crossings = _crossings(response, band_upper_bpm, step * GRADE_STEP, fastest, work, at)
        rows.append((step * GRADE_STEP, seconds, *crossings))
    grade, seen_s, speed, low, high, fits, exceeds = np.array(rows, float).T
    return Ceiling(grade, seen_s, speed, speed * grade, low, high, fits > 0.0, exceeds > 0.0, at)


def _crossings(
    response: Response, edge: float, grade: float, fastest: float, work: Work, at: float
) -> tuple[float, float, float, float, float]:
    """Speed at the edge, its interval, and whether every speed lies under or over the edge.

    The interval holds the speeds whose steady heart rate might be the edge (inverse prediction).
    """
    from scipy.special import ndtri

    speed = np.linspace(SLOWEST_MPS, max(fastest, 2.0 * SLOWEST_MPS), SPEED_STEPS)
    cost = np.asarray(work(speed, np.full_like(speed, grade)), float)
    known = np.isfinite(cost)
    if not known.any():
        return np.nan, np.nan, np.nan, 0.0, 0.0
    speed = speed[known]
    hr, error = steady_heart_rate(response, cost[known], speed * grade, at)
    reach = ndtri(0.975) * error
    middle = _first_over(speed, hr, edge)
    low, high = _first_over(speed, hr + reach, edge), _first_over(speed, hr - reach, edge)
    return middle, low, high, float(hr.max() < edge), float(hr[0] > edge)


def _first_over(speed: Array, hr: Array, edge: float) -> float:
    """Lowest speed at which ``hr`` rises through ``edge``; NaN when it starts over it or never does."""
    over = np.flatnonzero(hr >= edge)
    if over.size == 0 or over[0] == 0:
        return float("nan")
    k = int(over[0])
    share = (edge - hr[k - 1]) / (hr[k] - hr[k - 1])
    return float(speed[k - 1] + share * (speed[k] - speed[k - 1]))
