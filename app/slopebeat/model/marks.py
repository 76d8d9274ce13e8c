"""Marks on doubtful ranges of a recording; cleaning proposes them, users decide."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.message import KeyEnum
from slopebeat.model.spans import Spans


class Channel(KeyEnum):
    """What a mark doubts."""

    HEART_RATE = "heart_rate"
    ELEVATION = "elevation"
    POSITION = "position"
    WORK = "work"
    """Work that is not the athlete's, or cannot be: it counts as unknown."""
    POWER = "power"
    """Power that says nothing: the work rate is modelled instead."""


class Reason(KeyEnum):
    """Why a range is doubted."""

    SPIKE = "spike"
    IMPLAUSIBLE = "implausible"
    FROZEN = "frozen"
    DROP_OUT = "drop_out"
    STEP_LOCKED = "step_locked"
    AFTER_RESTART = "after_restart"
    POSITION_JUMP = "position_jump"
    ELEVATION_STEP = "elevation_step"
    RESTING_RUN = "resting_run"
    ERRATIC = "erratic"
    FAR_BELOW = "far_below"
    FAR_ABOVE = "far_above"
    WRONG_SIDE = "wrong_side"
    BELOW_EARLIER = "below_earlier"
    ABOVE_EARLIER = "above_earlier"
    TOO_MUCH_WORK = "too_much_work"
    CARRIED = "carried"
    TIMER_OFF_CLIMB = "timer_off_climb"
    POSITION_FROZEN = "position_frozen"
    NO_POWER = "no_power"
    ELECTRIC = "electric"
    BY_HAND = "by_hand"


class MarkState(KeyEnum):
    """A proposed mark counts until it is rejected."""

    PROPOSED = "proposed"
    ACCEPTED = "accepted"
    REJECTED = "rejected"


@dataclass(frozen=True)
class Mark:
    """A doubted range of one channel: from ``start_s`` up to, but without, ``end_s``.

    The last record of a recording, behind which there is nothing, is in a range that reaches it; alone it is
    doubted by a range that begins and ends there.
    """

    start_s: float
    end_s: float
    channel: Channel
    reason: Reason
    state: MarkState = MarkState.PROPOSED

    @property
    def counts(self) -> bool:
        return self.state is not MarkState.REJECTED

    def records(self, t_s: NDArray[np.float64]) -> slice:
        """The records of a recording that are in the range, found by search.

        Parameters
        ----------
        t_s : (n,) times of all its records, rising: the last of them is the recording's last.
        """
        first, behind = np.searchsorted(t_s, [self.start_s, self.end_s]).tolist()
        if t_s.size and self.start_s <= t_s[-1] <= self.end_s:
            behind = t_s.size
        return slice(first, behind)

    def covers(self, t_s: NDArray[np.float64]) -> NDArray[np.bool_]:
        """The same as a mask of shape (n,)."""
        inside = np.zeros(t_s.shape, dtype=bool)
        inside[self.records(t_s)] = True
        return inside


def covered(t_s: ArrayLike, marks: Iterable[Mark], channel: Channel) -> NDArray[np.bool_]:
    """Which records are in doubt: those under a mark on the channel that counts; arrays of shape (n,)."""
    return _covered(t_s, [(m.start_s, m.end_s) for m in marks if m.channel is channel and m.counts])


def _covered(t_s: ArrayLike, ranges: list[tuple[float, float]]) -> NDArray[np.bool_]:
    t = np.asarray(t_s, dtype=float)
    inside = Spans.from_pairs(ranges).contains(t)
    if t.size:
        inside[-1] = any(start <= t[-1] <= end for start, end in ranges)
    return inside
