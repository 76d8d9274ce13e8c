"""Episodes out of the band: each stretch above or below it, with what the ground asked just before."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Direction(StrEnum):
    ABOVE = "above"
    BELOW = "below"


@dataclass(frozen=True)
class Episode:
    """One stretch out of band; None where the recording does not say.

    Attributes
    ----------
    start_s, end_s : seconds from the first record.
    peak_bpm : highest heart rate above the band, lowest below it.
    bpm_minutes : beats beyond the edge, integrated over minutes.
    grade, vertical_speed_m_per_h, work_w_per_kg, speed_mps : means over the lag window before the exit.
    climb : index of the climb it belongs to. return_s : from the peak until back in band.
    """

    start_s: float
    end_s: float
    direction: Direction
    peak_bpm: float
    bpm_minutes: float
    grade: float | None = None
    vertical_speed_m_per_h: float | None = None
    work_w_per_kg: float | None = None
    speed_mps: float | None = None
    climb: int | None = None
    return_s: float | None = None
