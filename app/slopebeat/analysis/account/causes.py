"""Why each recorded second did not count: the largest part of the heart rate that took it past the edge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.episodes import SHORTEST_EPISODE_S
from slopebeat.analysis.account.heart_parts import HeartParts
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.response.grid import WARM_UP_S
from slopebeat.model.bands import Band
from slopebeat.model.numerics import REACH_80, REACH_95
from slopebeat.model.spans import Spans
from slopebeat.model.track import CLIMBING_GRADE, Array, Track

SURGE_S = 180.0
"""A spell above the band shorter than three time constants is a surge [project choice]."""

REST_SHARE = 0.5
"""What nothing explains counts half: heart rate is noisy, and a named part is the likelier cause
[project choice, measured on simulated outings]."""

LEAST_BPM = 0.5
"""A drift under this names no second: heart rate is recorded in whole beats."""

BENT_BPM, BENT_H = 2.5, 0.5
"""How far the course of a drift may bend away from a line, reached after half an hour [project choice]."""


class Cause(StrEnum):
    """Why a second was not in band, as said on screen."""

    STEEP_CLIMB = "steep_climb"
    FAST_CLIMB = "fast_climb"
    TOO_FAST = "too_fast"
    SURGE = "surge"
    DRIFT = "drift"
    USUAL_TOO_HIGH = "usual_too_high"
    MORE_THAN_WORK = "more_than_work"
    DESCENT = "descent"
    STOP = "stop"
    WARM_UP = "warm_up"
    EASY_GROUND = "easy_ground"
    EASY_CLIMB = "easy_climb"
    USUAL_TOO_LOW = "usual_too_low"
    LESS_THAN_WORK = "less_than_work"
    CANNOT_TELL = "cannot_tell"
    SENSOR_DOUBT = "sensor_doubt"


ORDER = tuple(Cause)
CODE: Mapping[Cause, int] = {cause: number for number, cause in enumerate(ORDER)}
NOT_OUT = -1
"""Code of a sample that is in band or stands for no recorded time."""


@dataclass(frozen=True, eq=False)
class Causes:
    """Seconds by cause, and the cause of each sample.

    Attributes
    ----------
    seconds : every cause, 0 included; they sum to the recorded time that was not in band.
    code : (n,) index into :data:`ORDER`, ``NOT_OUT`` in band.
    drift_known : whether a fit could tell drift from effort at all.
    drift_interval_s : 80 % interval of the seconds named drift; None where none are.
    """

    seconds: Mapping[Cause, float]
    code: NDArray[np.int8]
    drift_known: bool = True
    drift_interval_s: tuple[float, float] | None = None

    def main_cause(self, track: Track, start_s: float, end_s: float) -> Cause | None:
        """The cause of most seconds in ``[start_s, end_s)``; None where none is out of band."""
        return self.main_cause_of(track, slice(*np.searchsorted(track.t_s, (start_s, end_s))))

    def main_cause_of(self, track: Track, samples: slice) -> Cause | None:
        """The cause of most seconds among these samples; None where none is out of band."""
        numbers = self.code[samples] - NOT_OUT
        weight = np.bincount(numbers, weights=track.recorded_s[samples], minlength=len(ORDER) - NOT_OUT)
        # Samples in band come first, under NOT_OUT.
        return ORDER[int(np.argmax(weight[-NOT_OUT:]))] if numbers.any() else None


def find_causes(track: Track, band: Band, parts: HeartParts) -> Causes:
    """Give every recorded second that was not in band exactly one cause.

    A second above is named after the part that lifted its heart rate most, one below after the part that
    lowered it most. Drift is named only where the 80 % interval of its rate lies over zero. Standing below
    the band is a stop, and below it before it was first reached for ten seconds is warming up.
    """
    state = band_state(track.hr_bpm, band)
    shown = drift_shown(parts)
    code = _name(track, band, parts, state, parts.drift if shown else np.zeros(len(track)))
    seconds = {cause: float(np.sum(track.recorded_s[code == number])) for number, cause in enumerate(ORDER)}
    interval = _drift_interval(track, band, parts, state) if seconds[Cause.DRIFT] > 0.0 else None
    return Causes(seconds, code, parts.drift_bpm_per_h is not None, interval)


def drift_shown(parts: HeartParts) -> bool:
    """Whether the 80 % interval of the drift lies over zero."""
    if parts.drift_bpm_per_h is None:
        return False
    mean, low, high = parts.drift_bpm_per_h
    return mean - REACH_80 * (high - low) / (2.0 * REACH_95) > 0.0


def _drift_interval(
    track: Track, band: Band, parts: HeartParts, state: NDArray[np.int8]
) -> tuple[float, float]:
    """Seconds that would be named drift at both ends of its rate and of a bent course."""
    assert parts.drift_bpm_per_h is not None
    _, low, high = parts.drift_bpm_per_h
    bent = BENT_BPM * np.minimum(parts.hours / BENT_H, 1.0)
    reach = REACH_80 * np.hypot((high - low) / (2.0 * REACH_95) * parts.hours, bent)
    ends = []
    for drift in (parts.drift - reach, parts.drift + reach):
        code = _name(track, band, parts, state, drift)
        ends.append(float(track.recorded_s[code == CODE[Cause.DRIFT]].sum()))
    return min(ends), max(ends)


def _name(
    track: Track, band: Band, parts: HeartParts, state: NDArray[np.int8], drift: Array
) -> NDArray[np.int8]:
    """(n,) codes, with this drift and the rest that it leaves."""
    code = np.full(len(track), NOT_OUT, dtype=np.int8)
    code[state == BandState.NO_HEART_RATE] = CODE[Cause.SENSOR_DOUBT]
    above, below = np.flatnonzero(state == BandState.ABOVE), np.flatnonzero(state == BandState.BELOW)
    rest = parts.rest + parts.drift - drift
    if parts.work_known:
        code[above] = _above(band, parts, drift, rest, above)
        code[below] = _below(band, parts, drift, rest, below)
    else:
        code[above] = CODE[Cause.CANNOT_TELL]
        sinking = parts.place[below] < -CLIMBING_GRADE
        code[below] = np.where(sinking, CODE[Cause.DESCENT], CODE[Cause.CANNOT_TELL])
    code[below[~track.moving[below]]] = CODE[Cause.STOP]
    # A second at the edge, which a sparse recording may miss, is not yet warm.
    reached = Spans.from_mask(track.t_s, track.hr_bpm >= band.lower_bpm).at_least(SHORTEST_EPISODE_S)
    first_s = float(reached.start_s[0]) if len(reached) else np.inf
    code[below[track.t_s[below] < min(first_s, WARM_UP_S)]] = CODE[Cause.WARM_UP]
    return _with_surges(track, code, state)


def _above(band: Band, parts: HeartParts, drift: Array, rest: Array, at: NDArray[np.intp]) -> Array:
    """Codes of the seconds above: what lifted the heart rate most, and where."""
    lifts = np.array(
        [
            np.where(drift[at] > LEAST_BPM, drift[at], -np.inf),
            parts.steep[at],
            parts.chosen[at] + parts.standing[at],
            np.full(at.size, parts.usual_bpm - band.upper_bpm),
            REST_SHARE * rest[at],
        ]
    )
    climbing = parts.place[at] > CLIMBING_GRADE
    chosen = np.where(climbing, CODE[Cause.FAST_CLIMB], CODE[Cause.TOO_FAST])
    names = [Cause.DRIFT, Cause.STEEP_CLIMB, Cause.TOO_FAST, Cause.USUAL_TOO_HIGH, Cause.MORE_THAN_WORK]
    largest = np.nan_to_num(lifts, nan=-np.inf).argmax(axis=0)
    code = np.array([CODE[name] for name in names])[largest]
    return np.where(largest == 2, chosen, code)


def _below(band: Band, parts: HeartParts, drift: Array, rest: Array, at: NDArray[np.intp]) -> Array:
    """Codes of the seconds below: what lowered the heart rate most, and where."""
    drops = -np.array(
        [
            parts.standing[at],
            parts.chosen[at] + parts.steep[at],
            np.full(at.size, parts.usual_bpm - band.lower_bpm),
            REST_SHARE * (rest[at] + np.minimum(drift[at], 0.0)),
        ]
    )
    place = parts.place[at]
    easy = np.where(place > CLIMBING_GRADE, CODE[Cause.EASY_CLIMB], CODE[Cause.EASY_GROUND])
    easy = np.where(place < -CLIMBING_GRADE, CODE[Cause.DESCENT], easy)
    names = [Cause.STOP, Cause.EASY_GROUND, Cause.USUAL_TOO_LOW, Cause.LESS_THAN_WORK]
    largest = np.nan_to_num(drops, nan=-np.inf).argmax(axis=0)
    code = np.array([CODE[name] for name in names])[largest]
    return np.where(largest == 1, easy, code)


def _with_surges(track: Track, code: NDArray[np.int8], state: NDArray[np.int8]) -> NDArray[np.int8]:
    """Short spells above the band off the climbs are surges."""
    above = np.concatenate(([False], state == BandState.ABOVE, [False]))
    edges = np.flatnonzero(np.diff(above.astype(np.int8)))
    lasts = np.concatenate(([0.0], np.cumsum(track.recorded_s)))
    for first, last in edges.reshape(-1, 2):
        if lasts[last] - lasts[first] < SURGE_S:
            spell = code[first:last]
            spell[spell == CODE[Cause.TOO_FAST]] = CODE[Cause.SURGE]
    return code
