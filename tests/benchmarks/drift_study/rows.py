"""The three rows on one simulated outing, and the truth they are held against."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d
from simulator import Array, Bike, Outing, Setting, looney_w_per_kg, road_load_w_per_kg, simulate

from slopebeat.analysis.response.fit import fit_response
from slopebeat.analysis.response.terrain_fair import terrain_fair_decoupling
from slopebeat.model.track import Track

SMOOTH_S = 10.0
NOMINAL = Bike(0.42, 0.012, 1.0)


@dataclass(frozen=True)
class Row:
    """Errors in percentage points of rows 1-3, and how row 3's interval did."""

    errors: tuple[float, float, float]
    covered: bool
    width: float
    truth: float
    status: str
    tau_s: float


def as_track(outing: Outing) -> Track:
    """Clean the recording the plain way: a Gaussian over height and speed."""
    n = outing.t_s.size
    moving = ~outing.standing
    height = gaussian_filter1d(outing.elevation_m, SMOOTH_S, mode="nearest")
    speed = np.where(moving, gaussian_filter1d(outing.speed_mps, 3.0, mode="nearest"), 0.0)
    vertical = np.gradient(height)
    ahead = gaussian_filter1d(outing.speed_mps, SMOOTH_S, mode="nearest")
    grade = np.where(moving, np.clip(vertical / np.maximum(ahead, 0.3), -0.45, 0.45), np.nan)
    one, none = np.ones(n), np.zeros(n)
    return Track(
        outing.t_s,
        one,
        none,
        none,
        outing.hr_bpm,
        height,
        np.cumsum(speed),
        speed,
        grade,
        np.where(moving, vertical, 0.0),
        moving,
        none * np.nan,
        outing.on_bike,
    )


def nominal_work(track: Track) -> Array:
    """The published curve, without this person's error."""
    grade = np.nan_to_num(track.grade)
    if not track.on_bike:
        return looney_w_per_kg(track.speed_mps, grade)
    work = np.maximum(road_load_w_per_kg(track.speed_mps, grade, NOMINAL), 0.0)
    return np.where(track.moving, work, 0.0)


def halves(output: Array, hr: Array, used: Array) -> float:
    """Output per heart beat, first half of the used seconds against the second."""
    at = np.flatnonzero(used)
    first, second = np.array_split(at, 2)
    r1 = output[first].mean() / hr[first].mean()
    r2 = output[second].mean() / hr[second].mean()
    return float(100.0 * (r1 - r2) / r1)


def truth(outing: Outing, used: Array) -> float:
    """The definition of row 3 with the true coefficients, true work and true drift."""
    first, second = np.array_split(np.flatnonzero(used), 2)
    level = outing.base_bpm + outing.gain * outing.true_work[used].mean()
    drift = outing.drift_bpm_per_h / 3600.0
    early, late = outing.t_s[first].mean(), outing.t_s[second].mean()
    return float(100.0 * (1.0 - (level + drift * early) / (level + drift * late)))


def study_one(task: tuple[Setting, int]) -> Row:
    """Simulate, clean and compute all rows of one outing."""
    setting, seed = task
    outing = simulate(setting, np.random.default_rng(seed))
    track = as_track(outing)
    work = nominal_work(track)
    used = track.moving & np.isfinite(track.hr_bpm) & (track.t_s >= 600.0)
    response = fit_response(track, work)
    fair = terrain_fair_decoupling(response)
    true = truth(outing, used)
    assert fair.percent is not None
    assert fair.interval_percent is not None
    assert fair.tau_s is not None
    low, high = fair.interval_percent
    errors = (
        halves(track.speed_mps, track.hr_bpm, used) - true,
        halves(work, track.hr_bpm, used) - true,
        fair.percent - true,
    )
    return Row(errors, low <= true <= high, high - low, true, str(fair.status), fair.tau_s)
