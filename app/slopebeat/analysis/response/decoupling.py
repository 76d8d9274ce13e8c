"""Aerobic decoupling: how much more heart rate the same output cost in the second half.

The plain rows compare halves of the moving time, as convention has it. On terrain the halves are never
the same ground, so each row carries a verdict with its reason; no verdict hides a number.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.language import mark, tr
from slopebeat.model.track import Array, Track
from slopebeat.model.units import duration, percent

WARM_UP_S = 600.0
"""Left out at the start: drift at constant load starts after about 10 min (Wingo 2012,
doi:10.1097/JES.0b013e31824c43af)."""

SHORTEST_HALF_S = 1200.0
"""A shorter half does not show a drift [project choice]."""

GENTLE_GRADE = 0.03
"""Steeper than this, up or down, is terrain [project choice]."""

MOST_TERRAIN_SHARE = 0.20
"""More of the time on terrain than this, and terrain decides [project choice]."""

MOST_COST_CHANGE = 0.03
"""The cost of a metre may differ this much between the halves [project choice]: it enters pace:HR one
to one."""

MOST_WORK_CHANGE = 0.04
"""Mean work may differ this much between the halves [project choice]: heart rate does not start at zero,
so a ratio of unequal outputs is off by about half of the difference."""


class Verdict(StrEnum):
    """Whether a half-against-half figure may be read as a drift of the heart."""

    STEADY = mark("steady enough")
    TERRAIN = mark("terrain decides")
    TOO_SHORT = mark("too short")
    NO_DATA = mark("no data")


@dataclass(frozen=True)
class HalfComparison:
    """One row: output per heart beat, first half against second; positive = heart rate rose.

    Attributes
    ----------
    percent : ``100 (r1 - r2) / r1`` with r = mean output / mean heart rate; None when not computable.
    unit : what the output is, in words. first_output, second_output : its mean in each half.
    first_hr_bpm, second_hr_bpm : mean heart rate of each half.
    used_s : seconds that entered; split_s : time of the cut between the halves.
    excluded_s : seconds left out, by reason, in words; with used_s they sum to the recorded time.
    verdict, reason : how far the figure can be trusted, the reason in a sentence.
    """

    percent: float | None
    unit: str
    first_output: float | None
    second_output: float | None
    first_hr_bpm: float | None
    second_hr_bpm: float | None
    used_s: float
    split_s: float | None
    excluded_s: dict[str, float]
    verdict: Verdict
    reason: str


@dataclass(frozen=True)
class Decoupling:
    """The rows side by side: on speed as convention has it, and on work rate or recorded power."""

    pace: HalfComparison
    work: HalfComparison


def decoupling(track: Track, work_w_per_kg: Array) -> Decoupling:
    """Both plain rows for one outing."""
    verdict = _judge(track, work_w_per_kg)
    work_unit = mark("work rate (W/kg)")
    if track.on_bike and np.count_nonzero(np.isfinite(track.power_w)) >= len(track) / 2:
        work_unit = mark("recorded power (W/kg)")
    return Decoupling(
        compare_halves(track, track.speed_mps, mark("speed (m/s)"), verdict),
        compare_halves(track, work_w_per_kg, work_unit, verdict),
    )


def ratio_change_percent(first_ratio: float, second_ratio: float) -> float:
    """``100 (r1 - r2) / r1``: positive when the second half gave less output per beat."""
    return 100.0 * (first_ratio - second_ratio) / first_ratio


def compare_halves(
    track: Track, output: Array, unit: str, verdict: tuple[Verdict, str] | None = None
) -> HalfComparison:
    """Compare output per heart beat between the two halves of the used moving time.

    Parameters
    ----------
    output : (n,) speed, work rate or power. unit : what it is, in words.
    verdict : what :func:`decoupling` found out about the ground, kept out of the arithmetic.
    """
    used, excluded = _used(track, output)
    halves = _halves(track, used)
    used_s = float(np.sum(track.recorded_s[used]))
    if halves is None:
        reason = tr("No moving time with heart rate and output is left after the first 10 minutes.")
        return HalfComparison(
            None, unit, None, None, None, None, used_s, None, excluded, Verdict.NO_DATA, reason
        )
    outputs = [_mean(track, output, half) for half in halves]
    beats = [_mean(track, track.hr_bpm, half) for half in halves]
    ratios = [value / beat for value, beat in zip(outputs, beats, strict=True)]
    percent = ratio_change_percent(*ratios) if ratios[0] > 0.0 else None
    word, reason = verdict or (Verdict.STEADY, "")
    split = float(track.t_s[np.flatnonzero(halves[1])[0]])
    return HalfComparison(
        percent, unit, outputs[0], outputs[1], beats[0], beats[1], used_s, split, excluded, word, reason
    )


def _used(track: Track, output: Array) -> tuple[NDArray[np.bool_], dict[str, float]]:
    """Samples that enter, and the seconds left out by the first reason that applies."""
    early = track.t_s < WARM_UP_S
    reasons = {
        mark("first 10 min"): early,
        mark("stops"): ~track.moving,
        mark("no or marked heart rate"): np.isnan(track.hr_bpm),
        mark("no output"): np.isnan(output),
    }
    left = np.ones(len(track), dtype=bool)
    excluded = {}
    for name, out in reasons.items():
        excluded[name] = float(np.sum(track.recorded_s[left & out]))
        left &= ~out
    return left, excluded


def _halves(track: Track, used: NDArray[np.bool_]) -> tuple[NDArray[np.bool_], NDArray[np.bool_]] | None:
    """The used samples cut at half of their recorded time; None when one side would be empty."""
    spent = np.cumsum(np.where(used, track.recorded_s, 0.0))
    if len(track) == 0 or spent[-1] <= 0.0:
        return None
    first = used & (spent <= spent[-1] / 2)
    second = used & ~first
    if not np.any(track.recorded_s[first] > 0) or not np.any(track.recorded_s[second] > 0):
        return None
    return first, second


def _mean(track: Track, values: Array, where: NDArray[np.bool_]) -> float:
    return float(np.average(values[where], weights=track.recorded_s[where]))


def _judge(track: Track, work: Array) -> tuple[Verdict, str]:
    """May a half be compared with a half on this ground? The first reason against it is given."""
    used, _ = _used(track, np.where(np.isnan(work), np.nan, track.speed_mps))
    halves = _halves(track, used)
    if halves is None:
        return Verdict.TERRAIN, tr("The work rate is unknown, so nothing says that the halves were alike.")
    length = float(np.sum(track.recorded_s[used]))
    if length < 2 * SHORTEST_HALF_S:
        least = duration(2 * SHORTEST_HALF_S)
        return Verdict.TOO_SHORT, tr("Only {length} enter; a drift needs at least {least}.").format(
            length=duration(length), least=least
        )
    with np.errstate(invalid="ignore"):
        steep = used & (np.abs(track.grade) > GENTLE_GRADE)
    share = float(np.sum(track.recorded_s[steep])) / length
    if share > MOST_TERRAIN_SHARE:
        sentence = tr("{share} of the time was on grades steeper than {grade}, up or down.")
        return Verdict.TERRAIN, sentence.format(share=percent(share), grade=percent(GENTLE_GRADE))
    return _judge_halves(
        [_mean(track, work, half) for half in halves],
        [_mean(track, track.speed_mps, half) for half in halves],
    )


def _judge_halves(work: list[float], speed: list[float]) -> tuple[Verdict, str]:
    """The verdict on gentle ground, from mean work and mean speed of the two halves."""
    if min(*work, *speed) <= 0.0:
        return Verdict.TERRAIN, tr("One half had no output to compare with.")
    cost = (work[1] / speed[1]) / (work[0] / speed[0]) - 1.0
    if abs(cost) > MOST_COST_CHANGE:
        sentence = (
            tr("A metre of the second half cost {share} more work, by the ground and the speed alone.")
            if cost > 0
            else tr("A metre of the second half cost {share} less work, by the ground and the speed alone.")
        )
        return Verdict.TERRAIN, sentence.format(share=percent(abs(cost)))
    change = work[1] / work[0] - 1.0
    if abs(change) > MOST_WORK_CHANGE:
        sentence = (
            tr("The second half was worked {share} harder than the first.")
            if change > 0
            else tr("The second half was worked {share} easier than the first.")
        )
        return Verdict.TERRAIN, sentence.format(share=percent(abs(change)))
    return Verdict.STEADY, tr("The halves were alike in ground and work, so the change is the heart's.")
