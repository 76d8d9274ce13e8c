"""Where every second of an outing went: in band, above, below or without heart rate; moving or standing.

From it follows how long this outing would have had to last to collect the prescribed minutes in band. What
to expect of the next one, with an interval, is in :mod:`slopebeat.analysis.price.next_outing`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.price.next_outing import LONGEST_S
from slopebeat.model.bands import Band
from slopebeat.model.track import LEAST_COVERAGE, Array, Track


class BandState(IntEnum):
    """Where a sample lies with respect to the band."""

    BELOW = -1
    IN_BAND = 0
    ABOVE = 1
    NO_HEART_RATE = 2


def band_state(hr_bpm: Array, band: Band) -> NDArray[np.int8]:
    """:class:`BandState` code of each heart rate (n,); NaN is ``NO_HEART_RATE``."""
    state = band.side(hr_bpm)
    state[np.isnan(hr_bpm)] = BandState.NO_HEART_RATE
    return state


@dataclass(frozen=True)
class TimeAccount:
    """Seconds in each cell; the cells, the pauses and the gaps sum to the span.

    Attributes
    ----------
    moving, stopped : seconds by :class:`BandState` while moving and while standing, timer running.
    pause_s : timer off. gap_s : no records. span_s : first record to last.
    """

    moving: Mapping[BandState, float]
    stopped: Mapping[BandState, float]
    pause_s: float
    gap_s: float
    span_s: float

    def seconds(self, state: BandState) -> float:
        return self.moving[state] + self.stopped[state]

    @property
    def in_band_s(self) -> float:
        return self.seconds(BandState.IN_BAND)

    @property
    def above_s(self) -> float:
        return self.seconds(BandState.ABOVE)

    @property
    def below_s(self) -> float:
        return self.seconds(BandState.BELOW)

    @property
    def no_hr_s(self) -> float:
        return self.seconds(BandState.NO_HEART_RATE)

    @property
    def moving_s(self) -> float:
        return sum(self.moving.values())

    @property
    def stop_s(self) -> float:
        return sum(self.stopped.values())

    @property
    def recorded_s(self) -> float:
        """Time without pauses and gaps."""
        return self.moving_s + self.stop_s

    @property
    def known_s(self) -> float:
        """Recorded time with trusted heart rate."""
        return self.recorded_s - self.no_hr_s

    @property
    def coverage(self) -> float | None:
        """Share of the recorded time with trusted heart rate; None where nothing was recorded."""
        return self.known_s / self.recorded_s if self.recorded_s > 0.0 else None

    @property
    def covered(self) -> bool:
        """Whether there is enough trusted heart rate to tell shares and lengths."""
        return self.coverage is not None and self.coverage >= LEAST_COVERAGE

    def share(self, seconds: float) -> float | None:
        """These seconds as a share of the time with trusted heart rate; None where that is too little."""
        return seconds / self.known_s if self.covered else None

    def share_of(self, state: BandState) -> float | None:
        """The share of a state, or, without heart rate, of the recorded time."""
        if state is not BandState.NO_HEART_RATE:
            return self.share(self.seconds(state))
        return self.no_hr_s / self.recorded_s if self.recorded_s > 0.0 else None


def time_account(track: Track, band: Band) -> TimeAccount:
    """Put every second of the span into exactly one cell."""
    state = band_state(track.hr_bpm, band)
    cells: tuple[dict[BandState, float], dict[BandState, float]] = ({}, {})
    for code in BandState:
        here = state == code
        cells[0][code] = float(np.sum(track.recorded_s[here & track.moving]))
        cells[1][code] = float(np.sum(track.recorded_s[here & ~track.moving]))
    span = float(track.t_s[-1]) if len(track) else 0.0
    return TimeAccount(cells[0], cells[1], float(np.sum(track.pause_s)), float(np.sum(track.gap_s)), span)


@dataclass(frozen=True)
class Extension:
    """The answer for one target.

    Attributes
    ----------
    yield_share : share of the time with trusted heart rate that is in band; None where that is less than
        half of the recorded time: neither share nor length is reported then.
    target_s : prescribed time in band. in_band_s : what this outing gave.
    needed_s : recorded time this kind of outing needs for the target, ``target / yield``; None when no
        second was in band, because no length would reach the target, or it would pass ``LONGEST_S``.
    extra_s : ``needed_s - target_s``, the price of the terrain.
    missing_s : time in band still missing after this outing, never negative.
    more_s : further recorded time on this ground to collect what is missing.
    """

    yield_share: float | None
    target_s: float
    in_band_s: float
    needed_s: float | None
    extra_s: float | None
    missing_s: float
    more_s: float | None


def extension(account: TimeAccount, target_s: float) -> Extension:
    """Needed and extra time for ``target_s`` seconds in band at this outing's yield."""
    missing = max(0.0, target_s - account.in_band_s)
    share = account.share(account.in_band_s)
    if share and target_s / share <= LONGEST_S:
        needed = target_s / share
        return Extension(
            share, target_s, account.in_band_s, needed, needed - target_s, missing, missing / share
        )
    more = 0.0 if share is not None and missing == 0.0 else None
    return Extension(share, target_s, account.in_band_s, None, None, missing, more)
