"""A field test of the band: an hour at steady output on level ground at the band's upper edge.

When heart rate drifts little at the upper edge, the edge is taken to be low enough. The threshold is the
user's: 5 % is common practice and nobody has validated it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slopebeat.analysis.months.trend import DECOUPLING_NOISE_POINTS
from slopebeat.analysis.response.decoupling import HalfComparison, Verdict, decoupling
from slopebeat.model.bands import Band
from slopebeat.model.message import Message, message
from slopebeat.model.people import DEFAULT_DRIFT_THRESHOLD_PERCENT
from slopebeat.model.track import Array, Track

LEAST_USED_S = 45 * 60.0
"""Steady moving time after the first 10 minutes that the hour has to hold [project choice]."""

MOST_STOP_SHARE = 0.05
"""Share of recorded time spent standing that is still one effort [project choice]: breaks undo drift."""

BLOCK_S = 300.0
MOST_BLOCK_SPREAD = 0.10
"""Spread (SD over mean) of the work rate of 5-minute blocks that is still steady [project choice]."""

NEAR_EDGE_BPM = 5.0
"""How far mean heart rate of the first half may lie from the upper edge [project choice]."""


class DriftTestOutcome(StrEnum):
    """What the test says of the upper edge."""

    UNDER = "under"
    OVER = "over"
    NOT_A_TEST = "not_a_test"


@dataclass(frozen=True)
class DriftTest:
    """The outcome with its figures; they are given even when the outing does not qualify.

    Attributes
    ----------
    percent : decoupling of the work rate (or recorded power); positive = heart rate rose.
    threshold_percent : the user's. mean_bpm : mean heart rate of what was used.
    reasons : why the outing does not qualify. sentences : the outcome.
    near : the figure is within day-to-day noise of the threshold, so the outcome could turn tomorrow.
    """

    outcome: DriftTestOutcome
    percent: float | None
    threshold_percent: float
    mean_bpm: float | None
    reasons: tuple[Message, ...]
    near: bool
    sentences: tuple[Message, ...]


@dataclass(frozen=True)
class Steadiness:
    """How steady an outing was: share of stops, and spread of the work rate over blocks of 5 minutes."""

    stop_share: float
    block_spread: float


def steadiness_of(track: Track, work_w_per_kg: Array) -> Steadiness:
    """How steady an outing was; no band changes it."""
    recorded_s = float(np.sum(track.recorded_s))
    stopped_s = float(np.sum(track.recorded_s[~track.moving]))
    return Steadiness(
        stopped_s / recorded_s if recorded_s > 0.0 else 0.0, _block_spread(track, work_w_per_kg)
    )


def drift_test(
    track: Track,
    work_w_per_kg: Array,
    band: Band,
    threshold_percent: float = DEFAULT_DRIFT_THRESHOLD_PERCENT,
    row: HalfComparison | None = None,
    steadiness: Steadiness | None = None,
) -> DriftTest:
    """Judge an outing as a drift test of the band's upper edge.

    Parameters
    ----------
    work_w_per_kg : (n,) work rate of each sample, NaN where unknown.
    threshold_percent : decoupling that is still called little.
    row, steadiness : the outing's decoupling on work, and how steady it was, where these are known already.
    """
    row = row or decoupling(track, work_w_per_kg).work
    mean = _mean_bpm(row)
    reasons = _reasons(steadiness or steadiness_of(track, work_w_per_kg), row, band)
    near = row.percent is not None and abs(row.percent - threshold_percent) < DECOUPLING_NOISE_POINTS
    if reasons or row.percent is None:
        outcome = DriftTestOutcome.NOT_A_TEST
    else:
        outcome = DriftTestOutcome.UNDER if row.percent < threshold_percent else DriftTestOutcome.OVER
    sentences = _sentences(outcome, row.percent, threshold_percent, band, near, reasons)
    return DriftTest(outcome, row.percent, threshold_percent, mean, reasons, near, sentences)


def _mean_bpm(row: HalfComparison) -> float | None:
    if row.first_hr_bpm is None or row.second_hr_bpm is None:
        return None
    return (row.first_hr_bpm + row.second_hr_bpm) / 2


def _reasons(steadiness: Steadiness, row: HalfComparison, band: Band) -> tuple[Message, ...]:
    """Every reason against reading the outing as a test."""
    if row.percent is None or row.first_hr_bpm is None:
        return (row.reason,)
    found = []
    if row.used_s < LEAST_USED_S:
        found.append(message("drift_test.too_short", used=row.used_s, least=LEAST_USED_S))
    if row.verdict is Verdict.TERRAIN:
        found.append(message("drift_test.not_level", reason=row.reason))
    if steadiness.stop_share > MOST_STOP_SHARE:
        found.append(message("drift_test.interrupted", share=steadiness.stop_share))
    if steadiness.block_spread > MOST_BLOCK_SPREAD:
        found.append(message("drift_test.not_steady", spread=steadiness.block_spread))
    away = row.first_hr_bpm - band.upper_bpm
    if abs(away) > NEAR_EDGE_BPM:
        key = "drift_test.over_edge" if away > 0 else "drift_test.under_edge"
        found.append(message(key, bpm=row.first_hr_bpm, away=abs(away), edge=band.upper_bpm))
    return tuple(found)


def _block_spread(track: Track, work: Array) -> float:
    """Standard deviation over mean of the mean work rates of full 5-minute blocks of moving time."""
    used = track.moving & np.isfinite(work) & (track.recorded_s > 0.0)
    spent = np.cumsum(track.recorded_s[used])
    if spent.size == 0 or spent[-1] < 2 * BLOCK_S:
        return 0.0
    block = ((spent - track.recorded_s[used]) // BLOCK_S).astype(np.intp)
    weight = np.bincount(block, track.recorded_s[used])
    total = np.bincount(block, track.recorded_s[used] * work[used])
    full = weight > BLOCK_S / 2
    means = total[full] / weight[full]
    return float(np.std(means) / np.mean(means)) if np.mean(means) > 0.0 else float("inf")


def _sentences(
    outcome: DriftTestOutcome,
    drift: float | None,
    threshold: float,
    band: Band,
    near: bool,
    reasons: tuple[Message, ...],
) -> tuple[Message, ...]:
    if outcome is DriftTestOutcome.NOT_A_TEST or drift is None:
        return (message("drift_test.none"), *reasons)
    key = "drift_test.under" if outcome is DriftTestOutcome.UNDER else "drift_test.over"
    answer = message(key, edge=band.upper_bpm, drift=drift, threshold=threshold)
    return (answer, message("drift_test.near", points=DECOUPLING_NOISE_POINTS)) if near else (answer,)
