"""The same outing gone again with its climbs held: minutes in band foretold beside what would happen."""

from __future__ import annotations

import numpy as np
from outing import Truth

from slopebeat.review.outing import Review

Row = tuple[float, float, float, float]


def held_row(truth: Truth, review: Review) -> Row | None:
    """Errors of the minutes in band and of the recorded minutes they are part of.

    Returns
    -------
    Error of what is foretold, error of the simplest predictor (the share in band stays as it was), both in
    points of the time recorded; whether the interval held; how much longer it takes, %. None where nothing
    is foretold or nothing changes.
    """
    held, band = review.held, review.aim.band
    if held is None or band is None or held.recorded_s < 1.02 * held.was_recorded_s:
        return None
    share, heart, known = _gone(truth, review, held.lasts_s)
    lasts = np.where(known, held.lasts_s, 0.0)
    true_s = float(lasts[(heart >= band.lower_bpm - 0.5) & (heart < band.upper_bpm + 0.5)].sum())
    per = 100.0 / float(lasts.sum())
    middle, low, high = held.in_band_s
    simplest = held.was_in_band_s / held.was_recorded_s * float(lasts.sum())
    return (
        per * (middle - true_s),
        per * (simplest - true_s),
        float(low <= true_s <= high),
        100.0 * (share - 1.0),
    )


def _gone(truth: Truth, review: Review, lasts: np.ndarray) -> tuple[float, np.ndarray, np.ndarray]:
    """How much longer, true heart rate of each sample gone again, and where it is known to the program."""
    track = review.track
    at = np.clip(np.round(track.t_s).astype(int), 0, truth.work.size - 1)
    stretch = np.divide(lasts, track.recorded_s, out=np.ones(lasts.size), where=track.recorded_s > 0.0)
    slower = np.ones(truth.work.size)
    slower[at] = stretch
    speed = truth.speed_mps / slower
    cost = truth.person.cost
    change = cost(speed, truth.grade) - cost(truth.speed_mps, truth.grade)
    work = np.where(slower > 1.0, np.maximum(truth.work + change, 0.0), truth.work)
    # Every second of the way lasts as long as it takes now; then the whole is walked on a clock again.
    ends = np.cumsum(slower)
    clock = np.arange(int(ends[-1]))
    place = np.clip(np.searchsorted(ends, clock + 0.5), 0, work.size - 1)
    drift = np.interp(clock, truth.t_s, truth.drift_bpm)
    heart = truth.person.answer(work[place]) + drift + truth.slow_error_bpm[place]
    middle = np.clip((ends - 0.5 * slower).astype(int), 0, heart.size - 1)
    return float(ends[-1] / work.size), heart[middle][at], np.isfinite(track.hr_bpm) & ~truth.wrong[at]
