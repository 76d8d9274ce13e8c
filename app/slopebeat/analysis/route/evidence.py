"""What one outing teaches for the next: speed and work by grade, standing, and the heart's wander."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from slopebeat.analysis.account.past import grade_bin
from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import STEP_S, make_grid
from slopebeat.analysis.response.kinetics import LaggedInputs
from slopebeat.analysis.route.profile import ground_of
from slopebeat.model.past import GRADES
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track

LEAST_BIN_S = 20.0
"""A grade gone for less than this says nothing about speed on it [project choice]."""

PART_S, MOST_PARTS = 1800.0, 24
"""Parts an outing is cut into to see whether it slows down, and the most of them [project choice]."""

WANDER_LAGS_S = (0.0, 30.0, 120.0, 300.0, 900.0)
"""Lags the wander of the heart rate is described at."""

UNUSABLE = (FitStatus.NO_RESPONSE, FitStatus.NO_DATA)


@dataclass(frozen=True, eq=False)
class Evidence:
    """One outing, as far as it teaches; arrays by grade have the shape of ``model.past.GRADES``.

    Attributes
    ----------
    seconds, metres : moving on each grade. work_w_per_kg : mean work there, NaN where none is known.
    load_kg : mean load carried there. moving_s : all of them. stops_s : (k,) length of every stop with
        the timer running.
    span_s : first record to last, pauses included: how far into an outing the drift has been seen.
    response : the fitted heart rate.
    wander : (5,) autocovariance in bpm2, at ``WANDER_LAGS_S``, of the heart rate about what ground and
        time alone explain; NaN without a fit.
    rest_wander : the same about what the recorded work explains.
    part_seconds, part_metres : (k, n) the same as ``seconds`` and ``metres`` in each ``PART_S`` since the
        first record; rows past the last part are left out.
    """

    on_bike: bool
    seconds: Array
    metres: Array
    work_w_per_kg: Array
    load_kg: Array
    moving_s: float
    stops_s: Array
    span_s: float
    response: Response
    wander: Array
    rest_wander: Array
    part_seconds: Array = field(default_factory=lambda: np.zeros((0, GRADES.size)))
    part_metres: Array = field(default_factory=lambda: np.zeros((0, GRADES.size)))

    @property
    def has_heart(self) -> bool:
        """Whether its response can be pooled."""
        return self.response.posterior is not None and self.response.status not in UNUSABLE


def evidence_of(track: Track, work_w_per_kg: Array, load_kg: Array, response: Response) -> Evidence | None:
    """What an outing teaches; None where it has no distance.

    Parameters
    ----------
    work_w_per_kg, load_kg : (n,) of each sample. response : fitted on that work.
    """
    if len(track) < 2 or not np.isfinite(track.distance_m).all():
        return None
    ground = ground_of(track.distance_m, track.elevation_m)
    if ground is None or not np.isfinite(track.elevation_m).any():
        return None
    cell = np.clip((track.distance_m - track.distance_m[0]) / ground.step_m, 0, ground.grade.size - 1)
    grade = ground.grade[cell.astype(int)]
    of_sample = grade_bin(grade)
    seconds, metres, work, load = _by_grade(track, work_w_per_kg, load_kg, of_sample)
    stops = Spans.from_mask(track.t_s, ~track.moving & (track.recorded_s > 0.0))
    found = Evidence(
        on_bike=track.on_bike,
        seconds=seconds,
        metres=metres,
        work_w_per_kg=work,
        load_kg=load,
        moving_s=float(track.moving_s.sum()),
        stops_s=stops.end_s - stops.start_s,
        span_s=float(track.t_s[-1]),
        response=response,
        wander=np.full(len(WANDER_LAGS_S), np.nan),
        rest_wander=np.full(len(WANDER_LAGS_S), np.nan),
        **_by_part(track, of_sample),
    )
    if not found.has_heart:
        return found
    by_grade, rest = _wanders(track, work_w_per_kg, found, of_sample, grade)
    return replace(found, wander=by_grade, rest_wander=rest)


def _by_part(track: Track, of_sample: np.ndarray) -> dict[str, Array]:
    """Moving seconds and metres of each part of the outing on each grade, (k, n)."""
    part = np.minimum((track.t_s / PART_S).astype(int), MOST_PARTS - 1)
    count = int(part[-1]) + 1
    steps = np.where(track.moving_s > 0.0, np.diff(track.distance_m, append=track.distance_m[-1]), 0.0)
    cell = part * GRADES.size + of_sample

    def total(weights: Array) -> Array:
        sums = np.bincount(cell, weights, minlength=count * GRADES.size)
        return sums.astype(np.float64).reshape(count, GRADES.size)

    return {"part_seconds": total(track.moving_s), "part_metres": total(steps)}


def _by_grade(track: Track, work: Array, load_kg: Array, of_sample: np.ndarray) -> tuple[Array, ...]:
    """Moving seconds and metres, mean work (NaN: unknown) and mean load (0: not gone) of each grade bin."""
    steps = np.diff(track.distance_m, append=track.distance_m[-1])
    lasts, known = track.moving_s, np.where(np.isfinite(work), track.moving_s, 0.0)

    def total(weights: Array) -> Array:
        return np.bincount(of_sample, weights, minlength=GRADES.size).astype(np.float64)

    seconds, metres = total(lasts), total(np.where(lasts > 0.0, steps, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        mean_work = total(known * np.nan_to_num(work)) / total(known)
        mean_load = total(lasts * load_kg) / seconds
    return seconds, metres, mean_work, np.nan_to_num(mean_load)


def _wanders(
    track: Track, work: Array, found: Evidence, of_sample: np.ndarray, grade: Array
) -> tuple[Array, Array]:
    """Wander about what the ground explains, and about what the recorded work explains."""
    with np.errstate(divide="ignore", invalid="ignore"):
        speed = found.metres / found.seconds
    usual = np.where(track.moving, found.work_w_per_kg[of_sample], work)
    climb = np.where(track.moving, speed[of_sample] * grade, 0.0)
    expected = replace(track, vertical_speed_mps=np.nan_to_num(climb))
    return (
        _autocovariance(expected, np.where(np.isfinite(work), usual, np.nan), found.response),
        _autocovariance(track, work, found.response),
    )


def _autocovariance(track: Track, work: Array, response: Response) -> Array:
    grid = make_grid(track, work)
    used = grid.fit_s > 0.0
    if response.posterior is None or np.count_nonzero(used) < 60:
        return np.full(len(WANDER_LAGS_S), np.nan)
    posterior = response.posterior
    lagged = LaggedInputs(grid.inputs)(posterior.mean_tau_s, posterior.mean_delay_s)
    answered = lagged @ posterior.mean[2:]
    left = grid.hr_bpm - answered - posterior.mean[1] * grid.middle_s
    left = np.where(used, left - left[used].mean(), 0.0)
    covered = used.astype(float)
    out = []
    for lag_s in WANDER_LAGS_S:
        k = round(lag_s / STEP_S)
        pairs = float(covered[k:] @ covered[: covered.size - k]) if k < covered.size else 0.0
        out.append(float(left[k:] @ left[: left.size - k]) / pairs if pairs >= 30 else 0.0)
    return np.array(out)
