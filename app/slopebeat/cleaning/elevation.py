"""Smoothed elevation and the ascent read from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from slopebeat.cleaning.smoothing import GRID_S, smooth
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.numerics import median, quantile, turning_points, zero_where_unknown
from slopebeat.model.outing.records import records
from slopebeat.model.track import Array

ASCENT_THRESHOLD_M = 2.0
"""Smallest rise or fall that counts as ascent or descent [project choice]; no published value is known."""

COMPARED_THRESHOLDS_M = (1.0, 2.0, 5.0)
"""Thresholds shown side by side, so the user sees how far the ascent hangs on the choice."""

NOISE_LEFT_M = 0.16
"""White noise the smoothing may leave in the elevation, under the 0.2 m step of barometers [project choice,
made on recordings whose devices give their own ascent]."""

NARROWEST_SIGMA_S, WIDEST_SIGMA_S = 5.0, 30.0
"""Limits of the Gaussian's standard deviation [project choice]: barometers step by 0.2 m and need some,
and a wider one flattens real switchbacks."""

GROUND_RECORDS = (4, 8)
"""Distances, in records, between which bends of the ground stand out from noise [project choice]."""

STILL_M = 30.0
"""Moved less than this over a pause or gap, a change of elevation is the weather's, not the walker's
[project choice]."""


@dataclass(frozen=True, eq=False)
class Elevation:
    """Elevation as the analysis reads it.

    Attributes
    ----------
    level_m : (n,) recorded elevation less marked steps; NaN under other marks and where absent.
    smoothed_m : (n,) smoothed elevation, NaN throughout where the file has none.
    rate_mps : (n,) its rate of change.
    noise_m : estimated noise of single records of the elevation; NaN without elevation.
    sigma_s : standard deviation of the Gaussian that noise called for.
    ascent_m, descent_m : by hysteresis at the default threshold; None without elevation.
    ascent_by_threshold_m : ascent at 1, 2 and 5 m, to show how far it hangs on the threshold.
    """

    level_m: Array
    smoothed_m: Array
    rate_mps: Array
    noise_m: float
    sigma_s: float
    ascent_m: float | None
    descent_m: float | None
    ascent_by_threshold_m: Mapping[float, float]


def smooth_elevation(
    t_s: Array, elevation_m: Array, distance_m: Array, broken_s: Array, marks: tuple[Mark, ...] = ()
) -> Elevation:
    """Smooth the elevation by what its own noise calls for, and read ascent and descent from it.

    Parameters
    ----------
    t_s, elevation_m, distance_m : (n,) arrays; distance may be NaN.
    broken_s : (n,) seconds of pause and gap after each sample; nothing is smoothed across them.
    marks : elevation steps under a mark that counts are taken out before smoothing.
    """
    if np.count_nonzero(np.isfinite(elevation_m)) < 2:
        nothing = np.full(t_s.shape, np.nan)
        return Elevation(nothing, nothing, nothing, float("nan"), NARROWEST_SIGMA_S, None, None, {})
    level = _without_steps(t_s, elevation_m, marks)
    noise, step = elevation_noise_m(t_s, level, broken_s)
    sigma = smoothing_sigma_s(noise, step)
    smoothed, rate = smooth(t_s, level, sigma, broken_s)
    walked = _walked(smoothed, distance_m, broken_s, timer_off(t_s, marks))
    ascents = {threshold: ascent_descent(walked, threshold)[0] for threshold in COMPARED_THRESHOLDS_M}
    up, down = ascent_descent(walked, ASCENT_THRESHOLD_M)
    return Elevation(level, smoothed, rate, noise, sigma, up, down, ascents)


def elevation_noise_m(t_s: Array, elevation_m: Array, broken_s: Array) -> tuple[float, float]:
    """Deviation of white noise that explains the bends between records, and the usual step in seconds.

    The noise is that of single records. A bend is how far a record lies off the straight line between
    two others: for white noise its variance is ``1 + a^2 + (1 - a)^2`` times the noise's, with ``a`` the
    record's place between them. Bends of the ground go on growing with the distance of the records, which
    those of noise do not: what the bends grow by from one distance to the next, measured where noise has
    long been forgotten, is taken off those between neighbours, much as the nugget is read from a variogram
    (Cressie, Statistics for Spatial Data, 1993, ch. 2 - from memory). Without it sparse records of rolling
    ground would pass for noise and be smoothed away.
    """
    known = np.flatnonzero(np.isfinite(elevation_m))
    if known.size < 3:
        return 0.0, GRID_S
    running = np.concatenate(([0.0], np.cumsum(np.diff(t_s) - broken_s[:-1])))
    broken = np.concatenate(([0.0], np.cumsum(broken_s[:-1])))
    t, z, broken = running[known], elevation_m[known], broken[known]
    noise_and_ground, step = _bend_variance(t, z, broken, 1)
    near, far = (_bend_variance(t, z, broken, apart)[0] for apart in GROUND_RECORDS)
    ground = np.nan_to_num((far - near) / (GROUND_RECORDS[1] - GROUND_RECORDS[0]))
    return float(np.sqrt(max(np.nan_to_num(noise_and_ground) - max(ground, 0.0), 0.0))), step


def _bend_variance(t: Array, z: Array, broken: Array, apart: int) -> tuple[float, float]:
    """Mean square bend, in units of the noise's variance, with neighbours ``apart`` records away; usual step.

    The largest 2 % are left out, so that a few steps do not pass for noise; bends across a pause or gap
    (where ``broken``, the seconds of them so far, grows) say nothing. NaN where there are none.
    """
    if t.size <= 2 * apart:
        return float("nan"), GRID_S
    before, after = t[apart:-apart] - t[: -2 * apart], t[2 * apart :] - t[apart:-apart]
    usable = (broken[2 * apart :] == broken[: -2 * apart]) & (before > 0.0) & (after > 0.0)
    if not usable.any():
        return float("nan"), GRID_S
    share = before[usable] / (before + after)[usable]
    line = (1.0 - share) * z[: -2 * apart][usable] + share * z[2 * apart :][usable]
    bend = np.abs(z[apart:-apart][usable] - line) / np.sqrt(1.0 + share**2 + (1.0 - share) ** 2)
    core = bend[bend <= quantile(bend, 0.98)]
    return float(np.mean(core**2)), median(before[usable])


def smoothing_sigma_s(noise_m: float, step_s: float = GRID_S) -> float:
    """Gaussian that leaves ``NOISE_LEFT_M`` of white noise, within the stated limits.

    White noise of variance ``v`` at steps of ``dt`` leaves a Gaussian of deviation s with variance
    ``v dt / (2 sqrt(pi) s)``: rare records need a wider filter for the same noise.
    """
    wanted = noise_m**2 * step_s / (2.0 * np.sqrt(np.pi) * NOISE_LEFT_M**2)
    return float(np.clip(wanted, NARROWEST_SIGMA_S, WIDEST_SIGMA_S))


def ascent_descent(elevation_m: Array, threshold_m: float) -> tuple[float, float]:
    """Metres up and down by hysteresis: swings smaller than ``threshold_m`` count for nothing.

    NaN samples are passed over. The raw sum of rises is never a substitute: on real recordings it is
    1.0 to 12 times the device's own ascent.
    """
    z = elevation_m[np.isfinite(elevation_m)]
    turns = turning_points(z, threshold_m)
    if turns.size < 2:
        return 0.0, 0.0
    steps = np.diff(z[turns])
    return float(np.sum(steps[steps > 0.0])), float(np.sum(-steps[steps < 0.0]))


def _without_steps(t_s: Array, elevation_m: Array, marks: tuple[Mark, ...]) -> Array:
    """Elevation with marked steps taken out: what lies before a step is lifted to join what follows."""
    level = elevation_m.copy()
    # How far all up to a record are lifted, by the record: there may be as many steps as records.
    lifted = np.zeros(t_s.size)
    for mark in marks:
        if mark.channel is not Channel.ELEVATION or not mark.counts or mark.reason is Reason.TIMER_OFF_CLIMB:
            continue
        first, last = np.searchsorted(t_s, [mark.start_s, mark.end_s]).tolist()
        last = min(last, t_s.size - 1)
        if mark.reason is Reason.ELEVATION_STEP and np.isfinite(level[[first, last]]).all():
            lifted[first] += level[last] - level[first] - lifted[first:last].sum()
            level[first + 1 : last] = np.nan
        else:
            level[records(mark, t_s)] = np.nan
    return level + np.cumsum(lifted[::-1])[::-1]


def timer_off(t_s: Array, marks: tuple[Mark, ...]) -> np.ndarray:
    """(n,) records after which a rise or fall with the timer off was not the walker's."""
    off = np.zeros(t_s.size, dtype=bool)
    for mark in marks:
        if mark.reason is Reason.TIMER_OFF_CLIMB and mark.counts:
            off |= (t_s >= mark.start_s) & (t_s < mark.end_s)
    return off


def _walked(smoothed_m: Array, distance_m: Array, broken_s: Array, off: np.ndarray) -> Array:
    """Smoothed elevation less the changes over pauses and gaps in which nobody moved or the timer was off."""
    step = np.diff(smoothed_m)
    still = zero_where_unknown(np.diff(distance_m)) < STILL_M
    step[(broken_s[:-1] > 0.0) & (still | off[:-1])] = 0.0
    known = np.isfinite(smoothed_m)
    first = int(np.argmax(known))
    rises = np.where(np.isfinite(step), step, 0.0)
    walked = smoothed_m[first] + np.concatenate(([0.0], np.cumsum(rises)))
    return np.where(known, walked, np.nan)
