"""Aerobic decoupling: how much more heart rate the same output cost in the second half.

The plain rows compare halves of the moving time, as convention has it. On terrain the halves are never
the same ground, so each row carries a verdict with its reason; no verdict hides a number.

The terrain-fair row stands on any ground: what the fitted response says the same work cost, early and late.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import TimeLeftOut, time_left_out
from slopebeat.analysis.response.mixture import Mixture
from slopebeat.model.message import Message, message
from slopebeat.model.track import CLIMBING_GRADE, Array, Track

SHORTEST_HALF_S = 1200.0
"""A shorter half does not show a drift [project choice]."""

MOST_TERRAIN_SHARE = 0.20
"""More of the time on terrain than this, and terrain decides [project choice]."""

MOST_COST_CHANGE = 0.03
"""The cost of a metre may differ this much between the halves [project choice]: it enters pace:HR one
to one."""

MOST_WORK_CHANGE = 0.04
"""Mean work may differ this much between the halves [project choice]: heart rate does not start at zero,
so a ratio of unequal outputs is off by about half of the difference."""


class Output(StrEnum):
    """What is set against the heart rate."""

    SPEED = "speed"
    """m/s"""
    WORK_RATE = "work_rate"
    """W/kg, modelled"""
    POWER = "power"
    """W/kg, recorded"""


class Verdict(StrEnum):
    """Whether a half-against-half figure may be read as a drift of the heart."""

    STEADY = "steady"
    TERRAIN = "terrain"
    TOO_SHORT = "too_short"
    NO_DATA = "no_data"


@dataclass(frozen=True)
class HalfComparison:
    """One row: output per heart beat, first half against second; positive = heart rate rose.

    Attributes
    ----------
    percent : ``100 (r1 - r2) / r1`` with r = mean output / mean heart rate; None when not computable.
    output : what is compared. first_output, second_output : its mean in each half.
    first_hr_bpm, second_hr_bpm : mean heart rate of each half.
    used_s : seconds that entered; split_s : time of the cut between the halves.
    excluded_s : seconds left out, by reason; with used_s they sum to the recorded time.
    verdict, reason : how far the figure can be trusted, and why.
    """

    percent: float | None
    output: Output
    first_output: float | None
    second_output: float | None
    first_hr_bpm: float | None
    second_hr_bpm: float | None
    used_s: float
    split_s: float | None
    excluded_s: dict[TimeLeftOut, float]
    verdict: Verdict
    reason: Message


@dataclass(frozen=True)
class Decoupling:
    """The rows side by side: on speed as convention has it, and on work rate or recorded power."""

    pace: HalfComparison
    work: HalfComparison


def decoupling(track: Track, work_w_per_kg: Array) -> Decoupling:
    """Both plain rows for one outing."""
    verdict = _judge(track, work_w_per_kg)
    work_kind = Output.WORK_RATE
    if track.on_bike and np.count_nonzero(np.isfinite(track.power_w)) >= len(track) / 2:
        work_kind = Output.POWER
    return Decoupling(
        compare_halves(track, track.speed_mps, Output.SPEED, verdict),
        compare_halves(track, work_w_per_kg, work_kind, verdict),
    )


def ratio_change_percent(first_ratio: float, second_ratio: float) -> float:
    """``100 (r1 - r2) / r1``: positive when the second half gave less output per beat."""
    return 100.0 * (first_ratio - second_ratio) / first_ratio


def compare_halves(
    track: Track, output: Array, kind: Output, verdict: tuple[Verdict, Message] | None = None
) -> HalfComparison:
    """Compare output per heart beat between the two halves of the used moving time.

    Parameters
    ----------
    output : (n,) speed, work rate or power. kind : which of them.
    verdict : what :func:`decoupling` found out about the ground, kept out of the arithmetic.
    """
    left_out, excluded = time_left_out(track, {TimeLeftOut.NO_OUTPUT: np.isnan(output)})
    used = ~left_out
    halves = _halves(track, used)
    used_s = float(np.sum(track.recorded_s[used]))
    if halves is None:
        reason = message("halves.nothing_left")
        return HalfComparison(
            None, kind, None, None, None, None, used_s, None, excluded, Verdict.NO_DATA, reason
        )
    outputs = [track.mean(output, half) for half in halves]
    beats = [track.mean(track.hr_bpm, half) for half in halves]
    ratios = [value / beat for value, beat in zip(outputs, beats, strict=True)]
    percent = ratio_change_percent(*ratios) if ratios[0] > 0.0 else None
    word, reason = verdict or (Verdict.STEADY, message("halves.alike"))
    split = float(track.t_s[np.flatnonzero(halves[1])[0]])
    return HalfComparison(
        percent, kind, outputs[0], outputs[1], beats[0], beats[1], used_s, split, excluded, word, reason
    )


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


def _judge(track: Track, work: Array) -> tuple[Verdict, Message]:
    """May a half be compared with a half on this ground? The first reason against it is given."""
    used = ~time_left_out(track, {TimeLeftOut.NO_OUTPUT: np.isnan(work) | np.isnan(track.speed_mps)})[0]
    halves = _halves(track, used)
    if halves is None:
        return Verdict.TERRAIN, message("halves.no_work")
    length = float(np.sum(track.recorded_s[used]))
    if length < 2 * SHORTEST_HALF_S:
        return Verdict.TOO_SHORT, message("halves.too_short", length=length, least=2 * SHORTEST_HALF_S)
    with np.errstate(invalid="ignore"):
        steep = used & (np.abs(track.grade) > CLIMBING_GRADE)
    share = float(np.sum(track.recorded_s[steep])) / length
    if share > MOST_TERRAIN_SHARE:
        return Verdict.TERRAIN, message("halves.steep", share=share, grade=CLIMBING_GRADE)
    return _judge_halves(
        [track.mean(work, half) for half in halves],
        [track.mean(track.speed_mps, half) for half in halves],
    )


def _judge_halves(work: list[float], speed: list[float]) -> tuple[Verdict, Message]:
    """The verdict on gentle ground, from mean work and mean speed of the two halves."""
    if min(*work, *speed) <= 0.0:
        return Verdict.TERRAIN, message("halves.no_output")
    cost = (work[1] / speed[1]) / (work[0] / speed[0]) - 1.0
    if abs(cost) > MOST_COST_CHANGE:
        key = "halves.dearer" if cost > 0 else "halves.cheaper"
        return Verdict.TERRAIN, message(key, share=abs(cost))
    change = work[1] / work[0] - 1.0
    if abs(change) > MOST_WORK_CHANGE:
        key = "halves.harder" if change > 0 else "halves.easier"
        return Verdict.TERRAIN, message(key, share=abs(change))
    return Verdict.STEADY, message("halves.alike")


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
    response : the fit they are read from.
    """

    status: FitStatus
    reason: Message
    response: Response
    percent: float | None = None
    interval_percent: tuple[float, float] | None = None
    first_hr_bpm: float | None = None
    second_hr_bpm: float | None = None
    raw_percent: float | None = None
    raw_interval_percent: tuple[float, float] | None = None


def terrain_fair_decoupling(response: Response) -> TerrainFair:
    """Decoupling of a fitted response, at the mean of the work and slopes that entered the fit."""
    posterior = response.posterior
    if posterior is None or response.first_mean_s is None or response.second_mean_s is None:
        return TerrainFair(response.status, response.reason, response)
    times = (response.first_mean_s, response.second_mean_s)
    percent, interval, (first, second) = _decoupling(posterior, *times)
    raw = _decoupling(response.raw, *times) if response.raw is not None else (None, None)
    status, reason = response.status, response.reason
    if status is FitStatus.USABLE and interval[1] - interval[0] > MOST_INTERVAL_POINTS:
        status = FitStatus.UNDECIDED
        reason = message("response.undecided")
    return TerrainFair(status, reason, response, percent, interval, first, second, *raw[:2])


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
