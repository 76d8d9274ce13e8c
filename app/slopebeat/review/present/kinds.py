"""How values are written: the kinds that tables of figures name, each with its unit and its factor in CSV."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite
from typing import Any

from slopebeat.model.language import tr
from slopebeat.model.measures import GROUND, HEIGHT, OWN_SPEED, SPEED, VERTICAL_SPEED, Measure, figure
from slopebeat.model.units import SECONDS_PER_HOUR, clock, minutes_seconds, percent


@dataclass(frozen=True)
class Kind:
    """How values of a kind are written.

    Attributes
    ----------
    write : the text of a value, without its unit, in the language and the units in force; None is unknown.
    unit : the unit beside it, one for all or a measure whose unit can change.
    csv_factor : what a value is multiplied with in CSV. words : whether it is words, which stand left.
    """

    write: Callable[[Any], str]
    unit: str | Measure = ""
    csv_factor: float = 1.0
    words: bool = False


def number_of(digits: int = 0, unit: str = "", factor: float = 1.0) -> Kind:
    """Plain numbers, shown times a factor; CSV has them times the same."""
    return Kind(lambda value: figure(None if value is None else value * factor, digits), unit, factor)


def _per_hour(metres: float | None) -> str:
    return VERTICAL_SPEED.figure(None if metres is None else metres / SECONDS_PER_HOUR)


def between(measure: Measure, low: float, high: float) -> str:
    """Both ends of an interval in the unit in force; an open end is left open."""
    ends = {"low": measure.figure(low), "high": measure.figure(high)}
    if isfinite(low):
        return (tr("{low} to {high}") if isfinite(high) else tr("from {low}")).format(**ends)
    return tr("up to {high}").format(**ends) if isfinite(high) else tr("open")


COUNT = Kind(lambda value: figure(value))
WORDS = Kind(str, words=True)
AT, LASTS = Kind(clock), Kind(minutes_seconds)
BARE_BPM, BPM = number_of(), number_of(0, "bpm")
SHARE = Kind(percent, csv_factor=100.0)
GRADE, FINE_GRADE = number_of(0, "%", 100.0), number_of(1, "%", 100.0)
HEIGHTS, WAYS, SPEEDS = Kind(HEIGHT.figure, HEIGHT), Kind(GROUND.figure, GROUND), Kind(SPEED.figure, SPEED)
OWN_SPEEDS = Kind(OWN_SPEED.figure, OWN_SPEED)
RISES, HOURLY_RISES = Kind(VERTICAL_SPEED.figure, VERTICAL_SPEED), Kind(_per_hour, VERTICAL_SPEED)
