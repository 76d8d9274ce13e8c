"""Ground that was gone before: places, and what was measured each time one was gone over."""

from __future__ import annotations

from dataclasses import dataclass

CLIMB, STRETCH = "climb", "stretch"
"""Kinds of places: up by so much that it is a climb, or any other way."""


@dataclass(frozen=True)
class Place:
    """A climb or a stretch of way that an athlete went more than once, always in one direction.

    Attributes
    ----------
    identity : number in the library; it says nothing of where the place is.
    gain_m : how much higher its end is than its beginning; None where the elevation is not known.
    """

    identity: int
    kind: str
    length_m: float
    gain_m: float | None


@dataclass(frozen=True)
class PassFigures:
    """A place gone over once; None where the recording does not tell.

    Attributes
    ----------
    start_s : into the outing, seconds from its first record. elapsed_s : until its end was reached.
    moving_s : of that, recorded and going. heart_s : of that, with trusted heart rate after the first minute.
    hr_bpm, work_w_per_kg : mean heart rate and mean work as a heart answers it, of those seconds.
    speed_mps : length over moving time. climb_m_per_h : the same for the gain.
    load_kg : carried. from_ends_m : how near the place comes to where the outing began or ended.
    """

    start_s: float
    elapsed_s: float
    moving_s: float
    heart_s: float
    hr_bpm: float | None
    work_w_per_kg: float | None
    speed_mps: float | None
    climb_m_per_h: float | None
    load_kg: float
    from_ends_m: float

    @property
    def stopped_s(self) -> float:
        """Standing, pauses and holes in the recording on the way."""
        return max(self.elapsed_s - self.moving_s, 0.0)
