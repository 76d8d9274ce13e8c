"""Why each recorded second did not count: the largest part of the heart rate that took it past the edge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.analysis.account.episodes import SHORTEST_EPISODE_S
from slopebeat.analysis.account.heart_parts import HeartParts
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.account.windows import samples_of
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
        return self.main_causes(track, *np.searchsorted(track.t_s, ([start_s], [end_s])))[0]

    def main_causes(
        self, track: Track, first: NDArray[np.intp], last: NDArray[np.intp]
    ) -> list[Cause | None]:
        """The cause of most seconds in each of (m,) stretches of samples ``[first, last)``."""
        own, at = samples_of(first, last)
        out = self.code[at] != NOT_OUT
        own, at = own[out], at[out]
        cells = own * len(ORDER) + self.code[at]
        weight = np.bincount(cells, track.recorded_s[at], minlength=first.size * len(ORDER))
        main = weight.reshape(-1, len(ORDER)).argmax(axis=1).tolist()
        some = np.bincount(own, minlength=first.size).tolist()
        return [ORDER[code] if count else None for code, count in zip(main, some, strict=True)]


class CauseFinder:
    """Names the causes of one outing for any band.

    Of the parts only how far the usual heart rate lies off the band hangs on it: the largest of all others is
    found once.
    """

    def __init__(self, track: Track, parts: HeartParts) -> None:
        self._track, self._parts = track, parts
        drift = parts.drift if drift_shown(parts) else np.zeros(len(track))
        self._lift, self._drop = _lifts(parts, drift), _drops(parts, drift)
        self._lasts = np.concatenate(([0.0], np.cumsum(track.recorded_s)))

    @cached_property
    def _drift_lifts(self) -> tuple[_Largest, ...]:
        """What lifts at both ends of the drift's rate and of a bent course."""
        parts = self._parts
        assert parts.drift_bpm_per_h is not None
        _, low, high = parts.drift_bpm_per_h
        bent = BENT_BPM * np.minimum(parts.hours / BENT_H, 1.0)
        reach = REACH_80 * np.hypot((high - low) / (2.0 * REACH_95) * parts.hours, bent)
        return tuple(_lifts(parts, drift) for drift in (parts.drift - reach, parts.drift + reach))

    def find(self, band: Band) -> Causes:
        """Give every recorded second that was not in band exactly one cause.

        A second above is named after the part that lifted its heart rate most, one below after the part
        that lowered it most. Drift is named only where the 80 % interval of its rate lies over zero.
        Standing below the band is a stop, and below it before it was first reached for ten seconds is
        warming up.
        """
        state = band_state(self._track.hr_bpm, band)
        code = self._name(band, state)
        # In order of their codes and, within one, of time: each cause is a piece of it.
        order = np.argsort(code, kind="stable")
        ends = np.searchsorted(code[order], np.arange(len(ORDER) + 1))
        lasts = self._track.recorded_s[order]
        seconds = {
            cause: float(np.sum(lasts[first:last]))
            for cause, (first, last) in zip(ORDER, pairwise(ends), strict=True)
        }
        interval = self._drift_interval(band, state) if seconds[Cause.DRIFT] > 0.0 else None
        return Causes(seconds, code, self._parts.drift_bpm_per_h is not None, interval)

    def _drift_interval(self, band: Band, state: NDArray[np.int8]) -> tuple[float, float]:
        """Seconds that would be named drift at both ends."""
        above = np.flatnonzero(state == BandState.ABOVE)
        ends = []
        for lift in self._drift_lifts:
            named = lift.names(above, self._parts.usual_bpm - band.upper_bpm, Cause.USUAL_TOO_HIGH)
            ends.append(float(self._track.recorded_s[above[named == CODE[Cause.DRIFT]]].sum()))
        return min(ends), max(ends)

    def _name(self, band: Band, state: NDArray[np.int8]) -> NDArray[np.int8]:
        """(n,) codes."""
        track, parts = self._track, self._parts
        code = np.full(len(track), NOT_OUT, dtype=np.int8)
        code[state == BandState.NO_HEART_RATE] = CODE[Cause.SENSOR_DOUBT]
        above, below = np.flatnonzero(state == BandState.ABOVE), np.flatnonzero(state == BandState.BELOW)
        if parts.work_known:
            code[above] = self._lift.names(above, parts.usual_bpm - band.upper_bpm, Cause.USUAL_TOO_HIGH)
            code[below] = self._drop.names(below, band.lower_bpm - parts.usual_bpm, Cause.USUAL_TOO_LOW)
        else:
            code[above] = CODE[Cause.CANNOT_TELL]
            sinking = parts.place[below] < -CLIMBING_GRADE
            code[below] = np.where(sinking, CODE[Cause.DESCENT], CODE[Cause.CANNOT_TELL])
        code[below[~track.moving[below]]] = CODE[Cause.STOP]
        # A second at the edge, which a sparse recording may miss, is not yet warm.
        reached = Spans.from_mask(track.t_s, track.hr_bpm >= band.lower_bpm).at_least(SHORTEST_EPISODE_S)
        first_s = float(reached.start_s[0]) if len(reached) else np.inf
        code[below[track.t_s[below] < min(first_s, WARM_UP_S)]] = CODE[Cause.WARM_UP]
        return self._with_surges(code, state)

    def _with_surges(self, code: NDArray[np.int8], state: NDArray[np.int8]) -> NDArray[np.int8]:
        """Short spells above the band off the climbs are surges."""
        above = np.concatenate(([False], state == BandState.ABOVE, [False]))
        first, last = np.flatnonzero(above[1:] != above[:-1]).reshape(-1, 2).T
        short = self._lasts[last] - self._lasts[first] < SURGE_S
        inside = np.zeros(code.size + 1, dtype=np.int8)
        inside[first[short]], inside[last[short]] = 1, -1
        spell = np.cumsum(inside[:-1], dtype=np.int8).astype(bool)
        code[spell & (code == CODE[Cause.TOO_FAST])] = CODE[Cause.SURGE]
        return code


@dataclass(frozen=True, eq=False)
class _Largest:
    """The largest of the parts that no band changes, (n,), with the code of the cause it is named after.

    ``rest`` says where it is the part that nothing explains, which comes last of all where two are alike.
    """

    bpm: Array
    code: NDArray[np.int8]
    rest: NDArray[np.bool_]

    def names(self, at: NDArray[np.intp], usual_bpm: float, usual: Cause) -> NDArray[np.int8]:
        """Codes of some samples, where the usual heart rate is ``usual_bpm`` beyond the edge."""
        bpm = self.bpm[at]
        larger = (usual_bpm > bpm) | ((usual_bpm == bpm) & self.rest[at])
        return np.where(larger, np.int8(CODE[usual]), self.code[at])


def _largest(rows: Sequence[Array], codes: Sequence[ArrayLike]) -> _Largest:
    """Of rows of bpm, the last of them what nothing explains, and of their codes."""
    known = np.nan_to_num(np.array(rows), nan=-np.inf)
    which = known.argmax(axis=0)
    code = np.select([which == row for row in range(len(rows))], codes).astype(np.int8)
    return _Largest(known[which, np.arange(which.size)], code, which == len(rows) - 1)


def _lifts(parts: HeartParts, drift: Array) -> _Largest:
    """What lifts the heart rate most at each sample, with this drift and the rest that it leaves."""
    rows = (
        np.where(drift > LEAST_BPM, drift, -np.inf),
        parts.steep,
        parts.chosen + parts.standing,
        REST_SHARE * (parts.rest + parts.drift - drift),
    )
    fast = np.where(parts.place > CLIMBING_GRADE, CODE[Cause.FAST_CLIMB], CODE[Cause.TOO_FAST])
    return _largest(rows, (CODE[Cause.DRIFT], CODE[Cause.STEEP_CLIMB], fast, CODE[Cause.MORE_THAN_WORK]))


def _drops(parts: HeartParts, drift: Array) -> _Largest:
    """What lowers the heart rate most at each sample."""
    rest = parts.rest + parts.drift - drift
    rows = (
        -parts.standing,
        -(parts.chosen + parts.steep),
        -(REST_SHARE * (rest + np.minimum(drift, 0.0))),
    )
    easy = np.where(parts.place > CLIMBING_GRADE, CODE[Cause.EASY_CLIMB], CODE[Cause.EASY_GROUND])
    easy = np.where(parts.place < -CLIMBING_GRADE, CODE[Cause.DESCENT], easy)
    return _largest(rows, (CODE[Cause.STOP], easy, CODE[Cause.LESS_THAN_WORK]))


def drift_shown(parts: HeartParts) -> bool:
    """Whether the 80 % interval of the drift lies over zero."""
    if parts.drift_bpm_per_h is None:
        return False
    mean, low, high = parts.drift_bpm_per_h
    return mean - REACH_80 * (high - low) / (2.0 * REACH_95) > 0.0
