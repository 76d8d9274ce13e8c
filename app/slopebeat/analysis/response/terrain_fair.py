"""Decoupling on any terrain: what the fitted response says the same work cost, early and late."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import LeftOut
from slopebeat.analysis.response.lag import Array
from slopebeat.analysis.response.mixture import Mixture
from slopebeat.model.message import Message, message

MOST_INTERVAL_POINTS = 8.0
"""Wider than this, an interval holds everything a drift usually is, and decides nothing [project choice]."""


@dataclass(frozen=True)
class TerrainFair:
    """Terrain-fair decoupling; figures None when nothing could be fitted.

    Attributes
    ----------
    status, reason : how far the figures can be trusted; no status hides a figure. Undecided is a fit that
        may be used but whose interval is too wide to answer with.
    percent : ``100 (1 - HR(mean work, first mean time) / HR(mean work, second mean time))``, positive =
        heart rate rose for the same work. interval_percent : its 95 % interval.
    raw_percent, raw_interval_percent : the same without what is known of drifts beforehand, for comparing
        outings over months.
    first_hr_bpm, second_hr_bpm : the two fitted heart rates.
    drift_bpm_per_h, drift_interval_bpm_per_h, tau_s, residual_rms_bpm, delay_s : of the fit.
    used_s, excluded_s : seconds that entered, and those left out by reason.
    """

    status: FitStatus
    reason: Message
    used_s: float
    excluded_s: dict[LeftOut, float]
    percent: float | None = None
    interval_percent: tuple[float, float] | None = None
    first_hr_bpm: float | None = None
    second_hr_bpm: float | None = None
    drift_bpm_per_h: float | None = None
    drift_interval_bpm_per_h: tuple[float, float] | None = None
    tau_s: float | None = None
    residual_rms_bpm: float | None = None
    raw_percent: float | None = None
    raw_interval_percent: tuple[float, float] | None = None
    delay_s: float | None = None


def terrain_fair_decoupling(response: Response) -> TerrainFair:
    """Decoupling of a fitted response, at the mean of the work and slopes that entered the fit."""
    posterior = response.posterior
    if posterior is None or response.first_mean_s is None or response.second_mean_s is None:
        return TerrainFair(response.status, response.reason, response.used_s, response.excluded_s)
    times = (response.first_mean_s, response.second_mean_s)
    percent, interval, (first, second) = _decoupling(posterior, *times)
    raw = _decoupling(response.raw, *times) if response.raw is not None else (None, None)
    status, reason = response.status, response.reason
    if status is FitStatus.USABLE and interval[1] - interval[0] > MOST_INTERVAL_POINTS:
        status = FitStatus.UNDECIDED
        reason = message("response.undecided")
    return TerrainFair(
        status,
        reason,
        response.used_s,
        response.excluded_s,
        percent,
        interval,
        first,
        second,
        response.drift_bpm_per_h,
        response.drift_interval_bpm_per_h,
        response.tau_s,
        response.residual_rms_bpm,
        raw[0],
        raw[1],
        response.delay_s,
    )


def _decoupling(
    mixture: Mixture, first_mean_s: float, second_mean_s: float
) -> tuple[float, tuple[float, float], tuple[float, float]]:
    """Points, their 95 % interval, and mean heart rate of both halves at the same work."""
    early, late = first_mean_s - mixture.centre_t_s, second_mean_s - mixture.centre_t_s
    first: Array = mixture.beta[:, 0] + mixture.beta[:, 1] * early
    second: Array = mixture.beta[:, 0] + mixture.beta[:, 1] * late
    percent = 100.0 * (1.0 - first / second)
    gradient = np.zeros_like(mixture.beta)
    gradient[:, 0] = -100.0 * (1.0 / second - first / second**2)
    gradient[:, 1] = -100.0 * (early / second - first * late / second**2)
    interval = mixture.interval(percent, gradient, doubt=mixture.doubt_percent)
    levels = float(mixture.weight @ first), float(mixture.weight @ second)
    return float(mixture.weight @ percent), interval, levels
