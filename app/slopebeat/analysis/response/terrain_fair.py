"""Decoupling on any terrain: what the fitted response says the same work cost, early and late."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.fit import FitStatus, Response


@dataclass(frozen=True)
class TerrainFair:
    """Terrain-fair decoupling; figures None when nothing could be fitted.

    Attributes
    ----------
    status, reason : how far the figures can be trusted; no status hides a figure.
    percent : ``100 (1 - HR(mean work, first mean time) / HR(mean work, second mean time))``, positive =
        heart rate rose for the same work. interval_percent : its 95 % interval.
    first_hr_bpm, second_hr_bpm : the two fitted heart rates.
    drift_bpm_per_h, drift_interval_bpm_per_h, tau_s, residual_rms_bpm : of the fit.
    used_s, excluded_s : seconds that entered, and those left out by reason.
    """

    status: FitStatus
    reason: str
    used_s: float
    excluded_s: dict[str, float]
    percent: float | None = None
    interval_percent: tuple[float, float] | None = None
    first_hr_bpm: float | None = None
    second_hr_bpm: float | None = None
    drift_bpm_per_h: float | None = None
    drift_interval_bpm_per_h: tuple[float, float] | None = None
    tau_s: float | None = None
    residual_rms_bpm: float | None = None


def terrain_fair_decoupling(response: Response) -> TerrainFair:
    """Decoupling of a fitted response, at the mean of the work and slopes that entered the fit."""
    posterior = response.posterior
    if posterior is None or response.first_mean_s is None or response.second_mean_s is None:
        return TerrainFair(response.status, response.reason, response.used_s, response.excluded_s)
    early = response.first_mean_s - posterior.centre_t_s
    late = response.second_mean_s - posterior.centre_t_s
    beta = np.vstack([posterior.beta, posterior.mean])
    first, second = beta[:, 0] + beta[:, 1] * early, beta[:, 0] + beta[:, 1] * late
    percent = 100.0 * (1.0 - first / second)
    gradient = np.zeros_like(beta)
    gradient[:, 0] = -100.0 * (1.0 / second - first / second**2)
    gradient[:, 1] = -100.0 * (early / second - first * late / second**2)
    return TerrainFair(
        response.status,
        response.reason,
        response.used_s,
        response.excluded_s,
        float(percent[-1]),
        posterior.interval(percent[:-1], gradient[:-1]),
        float(first[-1]),
        float(second[-1]),
        response.drift_bpm_per_h,
        response.drift_interval_bpm_per_h,
        response.tau_s,
        response.residual_rms_bpm,
    )
