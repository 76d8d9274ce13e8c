"""Heart rate as a lagged response to work rate and slope, with a drift: the fit behind the fair figures.

``HR = b0 + b1 L[w] + b2 L[up] + b3 L[down] + d t`` with L a first-order lag. ``up`` and ``down`` are the
climbing and sinking speed: an error of the cost curve is a cost per metre climbed, so vertical speed takes
it up whatever the pace, which grade alone would not. Quick changes of all three have coefficients of
their own, because much of them is noise (see ``response_grid``).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slopebeat.analysis.response.grid import NO_HEART_RATE, STEP_S, SURPRISES, Grid, make_grid
from slopebeat.analysis.response.lag import Array, lag_at
from slopebeat.analysis.response.posterior import Bins, Posterior, find_posterior, first_residuals
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.model.track import Track

LEAST_BINS = 20  # half-minutes under which five coefficients are not fitted at all [project choice]
LEAST_FIT_S = 1800.0  # fitted time under which drift is not told from chance [project choice]
MOST_INFLATION = 10.0  # variance inflation of the drift by terrain: common practice, no source
SURPRISE_SDS, SURPRISE_BPM = 4.5, 6.0  # half-minutes further out than both are left out [project choice]


class FitStatus(StrEnum):
    """Whether the fit may be read as a drift of the heart."""

    USABLE = mark("usable")
    TOO_SHORT = mark("too short")
    LITTLE_HEART_RATE = mark("too little heart rate")
    TERRAIN_IS_TIME = mark("time and terrain cannot be told apart")
    NO_RESPONSE = mark("heart rate did not follow work")
    NO_DATA = mark("no data")


@dataclass(frozen=True, eq=False)
class Response:
    """The fitted response, or why there is none (``posterior`` and all figures None).

    Attributes
    ----------
    status, reason : how far the fit can be trusted, the reason in a sentence.
    tau_s : time constant.
    drift_bpm_per_h : rise at unchanged work; drift_interval_bpm_per_h its 95 % interval.
    rest_bpm : b0, heart rate at no work and time 0 (an extrapolation, no resting heart rate).
    work_bpm_per_w_kg, up_bpm_per_mps, down_bpm_per_mps : b1, b2, b3.
    residual_rms_bpm : of half-minute means.
    drift_inflation : how much terrain widens the variance of the drift (1 = not at all).
    fitted_hr_bpm, residual_bpm : (n,) at every sample; NaN where not computable.
    split_s : time that halves the fitted seconds; first_mean_s, second_mean_s mean time of each half.
    used_s, excluded_s : seconds that entered the fit, and those left out by reason.
    """

    status: FitStatus
    reason: str
    used_s: float
    excluded_s: dict[str, float]
    posterior: Posterior | None = None
    tau_s: float | None = None
    drift_bpm_per_h: float | None = None
    drift_interval_bpm_per_h: tuple[float, float] | None = None
    rest_bpm: float | None = None
    work_bpm_per_w_kg: float | None = None
    up_bpm_per_mps: float | None = None
    down_bpm_per_mps: float | None = None
    residual_rms_bpm: float | None = None
    drift_inflation: float | None = None
    fitted_hr_bpm: Array | None = None
    residual_bpm: Array | None = None
    split_s: float | None = None
    first_mean_s: float | None = None
    second_mean_s: float | None = None


def fit_response(track: Track, work_w_per_kg: Array) -> Response:
    """Fit the response of heart rate to work and slope.

    Parameters
    ----------
    track : the cleaned outing; marked heart rate is NaN and does not enter.
    work_w_per_kg : (n,) work rate, with the standing cost while standing; NaN where unknown.

    Returns
    -------
    Response; its numbers are given whenever they can be computed, whatever its status.
    """
    if len(track) < 2:
        return Response(FitStatus.NO_DATA, tr("The recording holds no samples to fit."), 0.0, {})
    grid = make_grid(track, work_w_per_kg)
    used_s = float(grid.fit_s.sum())
    if grid.kept_bins.size < LEAST_BINS:
        return Response(*_nothing_to_fit(grid), used_s, grid.excluded_s)
    grid = grid.without(_surprising(first_residuals(_bins(grid))), SURPRISES)
    bins = _bins(grid)
    return _report(track, work_w_per_kg, grid, bins, find_posterior(bins))


def _bins(grid: Grid) -> Bins:
    return Bins(grid.binned(grid.middle_s), grid.binned(grid.hr_bpm), grid.lagged)


def _surprising(residuals: Array) -> np.ndarray:
    """Half-minutes no neighbour resembles: a surge of the sensor, not of the heart."""
    from scipy.ndimage import median_filter

    local = residuals - median_filter(residuals, size=31, mode="nearest")
    limit = max(SURPRISE_SDS * 1.4826 * float(np.median(np.abs(local))), SURPRISE_BPM)
    return np.flatnonzero(np.abs(local) > limit)


def _report(track: Track, work: Array, grid: Grid, bins: Bins, posterior: Posterior) -> Response:
    mean, tau = posterior.mean, posterior.mean_tau_s
    inputs = bins.lagged(tau)
    centre = inputs.mean(axis=0)
    explained = mean[0] + mean[1] * (bins.t_s - posterior.centre_t_s) + (inputs - centre) @ mean[2:]
    rest = float(mean[0] - mean[1] * posterior.centre_t_s - centre @ mean[2:])
    drift_of = np.zeros_like(posterior.beta)
    drift_of[:, 1] = 3600.0
    interval = posterior.interval(posterior.beta[:, 1] * 3600.0, drift_of)
    fitted = _at_samples(track, grid, tau, rest, mean)
    inflation = _inflation(bins.t_s, inputs)
    status, reason = _verdict(grid, mean, inflation)
    split, early, late = _halves(grid)
    return Response(
        status=status,
        reason=reason,
        used_s=float(grid.fit_s.sum()),
        excluded_s=grid.excluded_s,
        posterior=posterior,
        tau_s=tau,
        drift_bpm_per_h=float(mean[1] * 3600.0),
        drift_interval_bpm_per_h=interval,
        rest_bpm=rest,
        work_bpm_per_w_kg=float(mean[2]),
        up_bpm_per_mps=float(mean[3]),
        down_bpm_per_mps=float(mean[4]),
        residual_rms_bpm=float(np.sqrt(np.mean((bins.hr_bpm - explained) ** 2))),
        drift_inflation=inflation,
        fitted_hr_bpm=fitted,
        residual_bpm=track.hr_bpm - fitted,
        split_s=split,
        first_mean_s=early,
        second_mean_s=late,
    )


def _at_samples(track: Track, grid: Grid, tau: float, rest: float, mean: Array) -> Array:
    """Fitted heart rate in the middle of the time each sample stands for."""
    at = track.t_s + 0.5 * track.recorded_s
    return np.asarray(rest + mean[1] * at + lag_at(grid.inputs, STEP_S, tau, at) @ mean[2:])


def _halves(grid: Grid) -> tuple[float, float, float]:
    """Where the fitted seconds are halved, and the mean time of each half."""
    total = np.cumsum(grid.fit_s)
    half = 0.5 * total[-1]
    at = int(np.searchsorted(total, half))
    first = np.minimum(grid.fit_s, np.maximum(half - (total - grid.fit_s), 0.0))
    second = grid.fit_s - first
    times = grid.middle_s
    return float(times[at]), float(first @ times / first.sum()), float(second @ times / second.sum())


def _inflation(t_s: Array, inputs: Array) -> float:
    """Variance of the drift over what it would be were terrain no part of the fit."""
    spread = inputs.std(axis=0)
    useful = inputs[:, spread > 1e-6]
    design = np.column_stack([np.ones_like(t_s), useful / np.maximum(useful.std(axis=0), 1e-6)])
    centred = t_s - t_s.mean()
    left = centred - design @ np.linalg.lstsq(design, centred, rcond=None)[0]
    return float((centred @ centred) / max(float(left @ left), 1e-9 * float(centred @ centred)))


def _verdict(grid: Grid, mean: Array, inflation: float) -> tuple[FitStatus, str]:
    used = float(grid.fit_s.sum())
    silent = grid.excluded_s[NO_HEART_RATE]
    if used < LEAST_FIT_S and silent > used:
        return FitStatus.LITTLE_HEART_RATE, _too_few(
            tr("{used} minutes of trusted heart rate are too few to tell a drift; {least} are needed."), used
        )
    if used < LEAST_FIT_S:
        return FitStatus.TOO_SHORT, _too_few(
            tr(
                "{used} minutes of moving after the first 10 are too few to tell a drift; {least} are needed."
            ),
            used,
        )
    if inflation > MOST_INFLATION:
        return FitStatus.TERRAIN_IS_TIME, (
            tr(
                "Work and slope changed so steadily with time that the drift is "
                "{times} times less certain than on mixed ground: what is drift and "
                "what is terrain cannot be told apart."
            ).format(times=figure(np.sqrt(inflation)))
        )
    if mean[2] <= 0.0:
        return FitStatus.NO_RESPONSE, (
            tr("Heart rate did not rise with the work rate: the heart rate or the work rate cannot be right.")
        )
    return FitStatus.USABLE, tr("{used} minutes of moving entered the fit.").format(used=figure(used / 60.0))


def _too_few(sentence: str, used: float) -> str:
    return sentence.format(used=figure(used / 60.0), least=figure(LEAST_FIT_S / 60.0))


def _nothing_to_fit(grid: Grid) -> tuple[FitStatus, str]:
    used = float(grid.fit_s.sum())
    silent = grid.excluded_s[NO_HEART_RATE]
    if used == 0.0 and silent == 0.0:
        return (
            FitStatus.NO_DATA,
            tr("No recorded minute is left after the first 10, stops and unknown work rate."),
        )
    if silent > used:
        return FitStatus.LITTLE_HEART_RATE, tr("Only {used} minutes of trusted heart rate are left.").format(
            used=figure(used / 60.0)
        )
    return FitStatus.TOO_SHORT, tr("Only {used} minutes of moving are left after the first 10.").format(
        used=figure(used / 60.0)
    )
