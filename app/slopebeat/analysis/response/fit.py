"""Heart rate as a lagged response to work rate and slope, with a drift: the fit behind the fair figures.

``HR = b0 + d t + b1 L[w] + b2 L[up] + b3 L[down] + a (L200[w] - L[w]) + error`` with L a first-order lag
after a delay. ``up`` and ``down`` are the climbing and sinking speed: an error of the cost curve is a cost
per metre climbed, so vertical speed takes it up whatever the pace, which grade alone would not. ``a`` is
the part of the answer that comes slowly. What is known beforehand stands in ``priors``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slopebeat.analysis.response.estimate import (
    Answers,
    Bins,
    LaggedInputs,
    find_answers,
    first_residuals,
    lagged_at,
)
from slopebeat.analysis.response.grid import LEAST_BINS, Grid, TimeLeftOut, make_grid
from slopebeat.analysis.response.mixture import Mixture
from slopebeat.model.message import Message, message
from slopebeat.model.numerics import REACH_95, median, running_median
from slopebeat.model.track import Array, Track

LEAST_RESPONSE_S = 1800.0  # fitted time under which drift is not distinguishable from chance [project choice]
LEAST_GAIN_SHARE = 0.1  # of the line through standing; surely under it is no answer [project choice]
SURPRISE_SDS, SURPRISE_BPM = 4.5, 6.0  # half-minutes further out than both are left out [project choice]


class FitStatus(StrEnum):
    """Whether the fit may be read as a drift of the heart."""

    USABLE = "usable"
    UNDECIDED = "undecided"
    TOO_SHORT = "too_short"
    LITTLE_HEART_RATE = "little_heart_rate"
    NO_WORK = "no_work"
    NO_RESPONSE = "no_response"
    NO_DATA = "no_data"


@dataclass(frozen=True, eq=False)
class Response:
    """The fitted response, or why there is none (``posterior`` and all figures None).

    Attributes
    ----------
    status, reason : how far the fit can be trusted, and why.
    posterior : the answers informed by all priors; all figures here are of it. raw : without the prior on
        drift. own : what may be pooled over outings: without those on drift and standing, with wide slopes.
    tau_s, delay_s : time constant, and the time before the answer starts.
    drift_bpm_per_h : rise at unchanged work; drift_interval_bpm_per_h its 95 % interval.
    work_bpm_per_w_kg : b1.
    residual_rms_bpm : of half-minute means.
    fitted_hr_bpm, residual_bpm : (n,) at every sample; NaN where not computable.
    split_s : time that halves the fitted seconds; first_mean_s, second_mean_s mean time of each half.
    used_s, excluded_s : seconds that entered the fit, and those left out by reason.
    """

    status: FitStatus
    reason: Message
    used_s: float
    excluded_s: dict[TimeLeftOut, float]
    posterior: Mixture | None = None
    tau_s: float | None = None
    drift_bpm_per_h: float | None = None
    drift_interval_bpm_per_h: tuple[float, float] | None = None
    work_bpm_per_w_kg: float | None = None
    residual_rms_bpm: float | None = None
    fitted_hr_bpm: Array | None = None
    residual_bpm: Array | None = None
    split_s: float | None = None
    first_mean_s: float | None = None
    second_mean_s: float | None = None
    delay_s: float | None = None
    raw: Mixture | None = None
    own: Mixture | None = None


def fit_response(track: Track, work_w_per_kg: Array, grid: Grid | None = None) -> Response:
    """Fit the response of heart rate to work and slope.

    Parameters
    ----------
    track : the cleaned outing; marked heart rate is NaN and does not enter.
    work_w_per_kg : (n,) work rate, with the standing cost while standing; NaN where unknown.
    grid : both on even steps, where that was made before.

    Returns
    -------
    Response; its numbers are given whenever they can be computed, whatever its status.
    """
    if len(track) < 2:
        return Response(FitStatus.NO_DATA, message("response.no_samples"), 0.0, {})
    grid = grid or make_grid(track, work_w_per_kg)
    used_s = float(grid.fit_s.sum())
    if grid.kept_bins.size < LEAST_BINS:
        return Response(*_too_little(track, grid), used_s, grid.excluded_s)
    lagged = LaggedInputs(grid.inputs)
    bins = Bins(grid, lagged, track.on_bike)
    surprising = _surprising(first_residuals(bins))
    grid = grid.without(surprising, TimeLeftOut.SURPRISES)
    if grid.kept_bins.size < LEAST_BINS:
        return Response(*_too_little(track, grid), float(grid.fit_s.sum()), grid.excluded_s)
    if surprising.size:
        bins = Bins(grid, lagged, track.on_bike)
    return _report(track, grid, bins, find_answers(bins))


def _surprising(residuals: Array) -> np.ndarray:
    """Half-minutes no neighbour resembles: a surge of the sensor, not of the heart."""
    local = residuals - running_median(residuals, 31)
    limit = max(SURPRISE_SDS * 1.4826 * median(np.abs(local)), SURPRISE_BPM)
    return np.flatnonzero(np.abs(local) > limit)


def _report(track: Track, grid: Grid, bins: Bins, answers: Answers) -> Response:
    posterior = answers.informed
    mean = posterior.mean
    tau, delay = posterior.mean_tau_s, posterior.mean_delay_s
    fitted = _at_samples(track, grid, posterior)
    halves = bins.halves
    status, reason = _verdict(track, grid, answers.own, bins.scale.gain)
    total = np.cumsum(grid.fit_s)
    return Response(
        status=status,
        reason=reason,
        used_s=float(grid.fit_s.sum()),
        excluded_s=grid.excluded_s,
        posterior=posterior,
        raw=answers.without_drift,
        own=answers.own,
        tau_s=tau,
        delay_s=delay,
        drift_bpm_per_h=float(mean[1] * 3600.0),
        drift_interval_bpm_per_h=_drift_interval(posterior, halves.first_s, halves.second_s),
        work_bpm_per_w_kg=float(mean[2]),
        residual_rms_bpm=_residual_rms(bins, posterior),
        fitted_hr_bpm=fitted,
        residual_bpm=track.hr_bpm - fitted,
        split_s=float(grid.middle_s[np.searchsorted(total, 0.5 * total[-1])]),
        first_mean_s=halves.first_s,
        second_mean_s=halves.second_s,
    )


def _drift_interval(posterior: Mixture, first_s: float, second_s: float) -> tuple[float, float]:
    """95 % interval in bpm/h; what the scatter cannot show is in points of heart rate between the halves."""
    gradient = np.zeros_like(posterior.beta)
    gradient[:, 1] = 3600.0
    level = posterior.mean[0] + posterior.mean[1] * (second_s - posterior.centre_t_s)
    per_point = 36.0 * float(level) / (second_s - first_s)
    return posterior.interval(
        posterior.beta[:, 1] * 3600.0, gradient, doubt=posterior.doubt_percent * per_point
    )


def _residual_rms(bins: Bins, posterior: Mixture) -> float:
    """Of half-minutes, about the likeliest answer."""
    best = int(np.argmax(posterior.weight))
    inputs = bins.inputs([(float(posterior.tau_s[best]), float(posterior.delay_s[best]))])[:, 0]
    beta = posterior.beta[best]
    explained = beta[0] + beta[1] * (bins.t_s - posterior.centre_t_s)
    explained = explained + (inputs - posterior.centre[best]) @ beta[2:]
    return float(np.sqrt(np.mean((bins.hr_bpm - explained) ** 2)))


def _at_samples(track: Track, grid: Grid, posterior: Mixture) -> Array:
    """Fitted heart rate in the middle of the time each sample stands for."""
    at = track.t_s + 0.5 * track.recorded_s
    mean = posterior.mean
    lagged = lagged_at(grid.inputs, posterior.mean_tau_s, posterior.mean_delay_s, at)
    drifted = mean[0] + mean[1] * (at - posterior.centre_t_s)
    return np.asarray(drifted + (lagged - posterior.mean_centre) @ mean[2:])


def _verdict(track: Track, grid: Grid, own: Mixture, usual_gain: float) -> tuple[FitStatus, Message]:
    used = float(grid.fit_s.sum())
    if used < LEAST_RESPONSE_S:
        return _too_little(track, grid)
    highest = own.mean[2] + REACH_95 * np.sqrt(own.total_covariance[2, 2])
    if highest <= LEAST_GAIN_SHARE * usual_gain:
        return FitStatus.NO_RESPONSE, message("response.no_response")
    return FitStatus.USABLE, message("response.usable", used=used)


def _too_little(track: Track, grid: Grid) -> tuple[FitStatus, Message]:
    """Which lack it was that left too little to fit."""
    used = float(grid.fit_s.sum())
    silent, unknown = grid.excluded_s[TimeLeftOut.NO_HEART_RATE], grid.excluded_s[TimeLeftOut.NO_WORK]
    if unknown > max(used, silent):
        return FitStatus.NO_WORK, _why_no_work(track)
    if silent > used:
        reason = message("response.little_heart_rate", used=used, least=LEAST_RESPONSE_S)
        return FitStatus.LITTLE_HEART_RATE, reason
    if used == 0.0:
        return FitStatus.NO_DATA, message("response.nothing_left")
    return FitStatus.TOO_SHORT, message("response.too_short", used=used, least=LEAST_RESPONSE_S)


def _why_no_work(track: Track) -> Message:
    """What is missing for a work rate."""
    if not np.isfinite(track.distance_m).any():
        return message("response.no_distance")
    if not np.isfinite(track.elevation_m).any():
        return message("response.no_elevation")
    return message("response.little_work")
