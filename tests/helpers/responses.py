"""Outings whose response to work is known."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from slopebeat.model.track import Array, Track

TAU_S, DRIFT = 52.0, 4.0


def climbing_mps(t: Array) -> Array:
    return np.asarray(0.15 * np.sin(2 * np.pi * t / 900.0) + 0.1 * np.sin(2 * np.pi * t / 217.0 + 1.0))


def work_at(t: Array) -> Array:
    return np.asarray(4.0 + np.maximum(30.0 * climbing_mps(t), -1.0) + 0.5 * np.sin(t / 333.0))


def pull_at(t: Array) -> Array:
    """The steady heart rate of the moment, drift apart."""
    up, down = np.maximum(climbing_mps(t), 0.0), np.maximum(-climbing_mps(t), 0.0)
    return np.asarray(60.0 + 11.0 * work_at(t) + 20.0 * up - 15.0 * down)


def true_hr(t: Array) -> Array:
    """Integrated by an adaptive solver, so that nothing of the lag under test is used."""
    out = solve_ivp(
        lambda now, y: (pull_at(now) - y) / TAU_S,
        (0.0, t[-1] + 1.0),
        [float(pull_at(np.zeros(1))[0])],
        t_eval=t + 0.5,
        max_step=10.0,
        rtol=1e-8,
    )
    return np.asarray(out.y[0] + DRIFT * (t + 0.5) / 3600.0)


def track_of(t: Array, hr: Array, **changes: Any) -> Track:
    lasts = np.append(np.diff(t), 1.0)
    none = np.zeros_like(t)
    vertical = climbing_mps(t + 0.5 * lasts)
    arrays: dict[str, Any] = {
        "t_s": t,
        "recorded_s": lasts,
        "pause_s": none,
        "gap_s": none,
        "hr_bpm": hr,
        "elevation_m": np.cumsum(vertical * lasts),
        "distance_m": np.cumsum(1.2 * lasts),
        "speed_mps": none + 1.2,
        "grade": vertical / 1.2,
        "vertical_speed_mps": vertical,
        "moving": np.ones(t.size, bool),
        "power_w": none * np.nan,
        "on_bike": False,
    }
    return Track(**{**arrays, **changes})
