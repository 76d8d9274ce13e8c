"""Causes against what was true: each second named by the same rule on the simulation's own quantities."""

from __future__ import annotations

import numpy as np
from outing import WARM_UP_S, Truth

from slopebeat.analysis.account.causes import NOT_OUT, ORDER, Cause, CauseFinder
from slopebeat.analysis.account.heart_parts import (
    CLIMBING_GRADE,
    GENTLE_S,
    MINETTI_GRADE,
    SLOWEST_CLIMB_MPS,
    SLOWEST_PASS_MPS,
    TYPICAL_DELAY_S,
    HeartParts,
)
from slopebeat.analysis.response.lag import delayed, lag_means
from slopebeat.analysis.response.priors import TAU_S
from slopebeat.model.track import Array, Track
from slopebeat.review.outing import Review

ALIKE = {
    Cause.FAST_CLIMB: Cause.STEEP_CLIMB,
    Cause.TOO_FAST: Cause.SURGE,
    Cause.EASY_CLIMB: Cause.EASY_GROUND,
}
"""Labels a hiker would not part."""


def true_parts(truth: Truth) -> HeartParts:
    """The parts of the true heart rate, at every second."""
    person, moving = truth.person, ~truth.standing
    late = truth.t_s >= WARM_UP_S
    climb = np.where(moving, truth.speed_mps * truth.grade, 0.0)
    both = delayed(lag_means(np.column_stack([climb, truth.speed_mps]), 1.0, TAU_S), round(TYPICAL_DELAY_S))
    place = np.where(both[:, 1] > 0.02, both[:, 0] / np.maximum(both[:, 1], 0.02), 0.0)
    gentle = moving & late & (np.abs(place) <= CLIMBING_GRADE)
    told = gentle if gentle.sum() >= GENTLE_S else moving & late
    usual = float(truth.work[told].mean())
    level = person.answer(np.full(truth.work.size, usual))

    def answered(effort: Array) -> Array:
        return np.asarray(person.answer(usual + effort) - level)

    bike = person.sport == "ride"
    grade = np.clip(np.where(moving, truth.grade, 0.0), 0.0, MINETTI_GRADE[1])
    slowest = np.full(grade.size, SLOWEST_PASS_MPS[bike])
    if not bike:
        slowest = np.minimum(slowest, SLOWEST_CLIMB_MPS / np.maximum(grade, 1e-3))
    least = np.minimum(truth.work, person.cost(np.minimum(truth.speed_mps, slowest), grade))
    asked = np.where(moving & (grade > CLIMBING_GRADE), np.maximum(least - usual, 0.0), 0.0)
    over = truth.work - usual
    start = float(truth.drift_bpm[int(WARM_UP_S)])
    drift = np.where(late, truth.drift_bpm - start, 0.0)
    standing, steep = answered(np.where(moving, 0.0, over)), answered(asked)
    chosen = answered(np.where(moving, over - asked, 0.0))
    usual_bpm = float(level[-1]) + start
    return HeartParts(
        usual_bpm=usual_bpm,
        drift=drift,
        standing=standing,
        steep=steep,
        chosen=chosen,
        rest=truth.heart_bpm - usual_bpm - drift - standing - steep - chosen,
        place=place,
        hours=np.maximum(truth.t_s - WARM_UP_S, 0.0) / 3600.0,
        # What truly drifted is always named so.
        drift_bpm_per_h=(1.0, 0.9, 1.1),
        work_known=True,
    )


def true_track(truth: Truth) -> Track:
    """The true outing, a sample a second."""
    nothing = np.full(truth.work.size, np.nan)
    recorded = np.where(truth.paused, 0.0, 1.0)
    distance = np.cumsum(truth.speed_mps)
    return Track(
        t_s=truth.t_s,
        recorded_s=recorded,
        pause_s=1.0 - recorded,
        gap_s=np.zeros(recorded.size),
        hr_bpm=truth.heart_bpm,
        elevation_m=np.cumsum(truth.speed_mps * truth.grade),
        distance_m=distance,
        speed_mps=truth.speed_mps,
        grade=truth.grade,
        vertical_speed_mps=truth.speed_mps * truth.grade,
        moving=~truth.standing,
        power_w=nothing,
        on_bike=truth.person.sport == "ride",
    )


def causes_row(truth: Truth, review: Review) -> tuple[float, float, float]:
    """Share of truly-out seconds named rightly, the same with like labels merged, error of drift's share.

    NaN where the program or the truth has nothing out of band.
    """
    band, found = review.aim.band, review.causes
    if band is None or found is None:
        return float("nan"), float("nan"), float("nan")
    true = CauseFinder(true_track(truth), true_parts(truth)).find(band).code
    at = np.clip(np.searchsorted(review.track.t_s, truth.t_s, side="right") - 1, 0, len(review.track) - 1)
    said = found.code[at]
    out = (true != NOT_OUT) & ~truth.wrong & ~truth.paused & (said != NOT_OUT)
    if not out.any():
        return float("nan"), float("nan"), float("nan")
    merged = np.array([ORDER.index(ALIKE.get(cause, cause)) for cause in ORDER])
    drift = ORDER.index(Cause.DRIFT)
    off = 100.0 * abs(float(np.mean(said[out] == drift)) - float(np.mean(true[out] == drift)))
    right, alike = said[out] == true[out], merged[said[out]] == merged[true[out]]
    return 100.0 * float(np.mean(right)), 100.0 * float(np.mean(alike)), off
