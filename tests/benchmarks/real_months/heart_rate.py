"""Heart rate of an outing foretold second by second from earlier ones of its sport."""

from __future__ import annotations

from datetime import datetime

import numpy as np
from outings import Real

from slopebeat.analysis.response.lag import delayed, lag_means
from slopebeat.analysis.response.prediction import learn, predict
from slopebeat.model.track import Array

FEWEST = 5
STEP_S, TAU_S, DELAY_STEPS, BIN = 5.0, 45.0, 2, 6
HALF_LIFE_DAYS = 60.0


def halves(one: Real) -> tuple[Array, Array]:
    """Lagged work and heart rate of an outing's half-minutes that have both, moving, after ten minutes."""
    track, work = one.track, one.work
    grid = np.arange(0.0, track.t_s[-1], STEP_S)
    at = np.maximum(np.searchsorted(track.t_s, grid, side="right") - 1, 0)
    lagged = delayed(lag_means(np.nan_to_num(work)[at], STEP_S, TAU_S), DELAY_STEPS)
    good = np.isfinite(work[at]) & np.isfinite(track.hr_bpm[at]) & track.moving[at] & (grid > 600.0)
    n = grid.size // BIN * BIN
    keep = good[:n].reshape(-1, BIN).all(axis=1)
    means = [series[:n].reshape(-1, BIN).mean(axis=1)[keep] for series in (lagged, track.hr_bpm[at])]
    return means[0], means[1]


def _least_squares(earlier: list[Real], now: datetime) -> Array:
    """Level and slope on lagged work, recent outings more."""
    rows, beats, weights = [], [], []
    for one in earlier:
        work, hr = halves(one)
        days = (now - one.past.start_utc).total_seconds() / 86400.0
        rows.append(np.column_stack([np.ones(work.size), work]))
        beats.append(hr)
        weights.append(np.full(work.size, 0.5 ** (days / HALF_LIFE_DAYS)))
    root = np.sqrt(np.concatenate(weights))
    seen, told = np.vstack(rows) * root[:, None], np.concatenate(beats) * root
    return np.asarray(np.linalg.lstsq(seen, told, rcond=None)[0])


def report_heart_rate(chosen: list[Real]) -> None:
    """Mean absolute error of half-minutes, ours beside pooled least squares and the athlete's mean."""
    errors: list[tuple[float, float, float]] = []
    for number, one in enumerate(chosen):
        earlier = [each for each in chosen[:number] if halves(each)[0].size >= 20]
        work, hr = halves(one)
        if len(earlier) < FEWEST or hr.size < 20:
            continue
        learnt = learn([each.evidence for each in earlier], one.past.start_utc)
        if learnt is None:
            continue
        told = predict(learnt, one.track, one.work)
        use = told.known & np.isfinite(one.track.hr_bpm) & one.track.moving & (one.track.t_s > 600.0)
        if one.track.recorded_s[use].sum() < 600.0:
            continue
        ours = np.average(np.abs(told.hr_bpm - one.track.hr_bpm)[use], weights=one.track.recorded_s[use])
        level, slope = _least_squares(earlier, one.past.start_utc)
        mean = np.mean([halves(each)[1].mean() for each in earlier])
        off = [float(np.abs(line - hr).mean()) for line in (level + slope * work, mean)]
        errors.append((float(ours), *off))
    if errors:
        ours, pooled, mean = np.mean(errors, axis=0)
        print(
            f"  heart rate foretold ({len(errors)}): {ours:.1f} bpm off; pooled least squares on lagged work"
            f" {pooled:.1f}, mean of earlier outings {mean:.1f}"
        )
