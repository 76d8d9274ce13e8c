"""Aerobic decoupling: how much more heart rate the same output cost in the second half."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """Whether a half-against-half figure may be read as a drift of the heart."""

    STEADY = "steady enough"
    TERRAIN = "terrain decides"
    TOO_SHORT = "too short"
    NO_DATA = "no data"


@dataclass(frozen=True)
class HalfComparison:
    """One row: output per heart beat, first half against second; positive = heart rate rose.

    Attributes
    ----------
    percent : ``100 (r1 - r2) / r1``, None when it cannot be computed.
    first_output, second_output : mean output of each half (``unit`` says of what).
    first_hr_bpm, second_hr_bpm : mean heart rate of each half.
    used_s : seconds that entered; split_s : time of the cut between the halves.
    excluded_s : seconds left out, by reason, in words.
    verdict, reason : how far the figure can be trusted, the reason in a sentence.
    """

    percent: float | None
    unit: str
    first_output: float | None
    second_output: float | None
    first_hr_bpm: float | None
    second_hr_bpm: float | None
    used_s: float
    split_s: float | None
    excluded_s: dict[str, float]
    verdict: Verdict
    reason: str


@dataclass(frozen=True)
class Decoupling:
    """The rows side by side: on speed as convention has it, and on work rate."""

    pace: HalfComparison
    work: HalfComparison
