"""Marks on doubtful ranges of a recording; cleaning proposes them, users decide."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Channel(StrEnum):
    """What a mark doubts."""

    HEART_RATE = "heart rate"
    ELEVATION = "elevation"
    POSITION = "position"


class Reason(StrEnum):
    """Why a range is doubted, as said on screen."""

    SPIKE = "changes faster than a heart can"
    IMPLAUSIBLE = "outside what a heart does"
    FROZEN = "frozen while the work changed"
    DROP_OUT = "no heart rate"
    STEP_LOCKED = "follows the step rate"
    AFTER_RESTART = "first record after a restart"
    POSITION_JUMP = "position jumps"
    ELEVATION_STEP = "elevation steps"
    BY_HAND = "marked by hand"


class MarkState(StrEnum):
    """A proposed mark counts until it is rejected."""

    PROPOSED = "proposed"
    ACCEPTED = "accepted"
    REJECTED = "rejected"


@dataclass(frozen=True)
class Mark:
    """A doubted range ``[start_s, end_s)`` of one channel."""

    start_s: float
    end_s: float
    channel: Channel
    reason: Reason
    state: MarkState = MarkState.PROPOSED

    @property
    def counts(self) -> bool:
        return self.state is not MarkState.REJECTED
