"""Marks on doubtful ranges of a recording; cleaning proposes them, users decide."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.model.message import KeyEnum


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
