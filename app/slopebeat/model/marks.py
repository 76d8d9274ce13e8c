"""Marks on doubtful ranges of a recording; cleaning proposes them, users decide."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slopebeat.model.language import mark


class Channel(StrEnum):
    """What a mark doubts."""

    HEART_RATE = mark("heart rate")
    ELEVATION = mark("elevation")
    POSITION = mark("position")


class Reason(StrEnum):
    """Why a range is doubted, as said on screen."""

    SPIKE = mark("changes faster than a heart can")
    IMPLAUSIBLE = mark("outside what a heart does")
    FROZEN = mark("frozen while the work changed")
    DROP_OUT = mark("no heart rate")
    STEP_LOCKED = mark("follows the step rate")
    AFTER_RESTART = mark("first record after a restart")
    POSITION_JUMP = mark("position jumps")
    ELEVATION_STEP = mark("elevation steps")
    BY_HAND = mark("marked by hand")


class MarkState(StrEnum):
    """A proposed mark counts until it is rejected."""

    PROPOSED = mark("proposed")
    ACCEPTED = mark("accepted")
    REJECTED = mark("rejected")


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
