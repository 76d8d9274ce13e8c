"""The figures that are shown over months, and how to speak of each."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.model import measures
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import Measure, decimal_sign
from slopebeat.model.units import KMH_PER_MPS


@dataclass(frozen=True)
class MonthsFigure:
    """How to speak of one figure.

    Attributes
    ----------
    name : the start of a sentence. unit : after a number. digits : shown. scale : shown per stored unit.
        Words are marked for :func:`tr`.
    stored : unit of the values as they are kept.
    measure : of a quantity with a unit the user chose; it takes the place of unit and scale.
    """

    name: str
    unit: str
    digits: int
    stored: str
    scale: float = 1.0
    measure: Measure | None = None

    def text(self, value: float, sign: str = "") -> str:
        shown = value * self.scale if self.measure is None else self.measure.shown(value)
        return f"{shown:{sign}.{self.digits}f}".replace(".", decimal_sign())

    @property
    def shown_unit(self) -> str:
        """The unit in words, that of :attr:`measure` where there is one."""
        return tr(self.unit) if self.measure is None else self.measure.unit

    def amount(self, value: float) -> str:
        """A size with its unit."""
        return f"{self.text(value)} {self.shown_unit}"


LEVEL = MonthsFigure(mark("Heart rate at your usual work"), mark("bpm"), 0, "bpm")
DRIFT = MonthsFigure(mark("Drift"), mark("bpm/h"), 1, "bpm/h")
DECOUPLING = MonthsFigure(mark("Terrain-fair decoupling"), mark("points"), 1, "percent")
SPEED = MonthsFigure(
    mark("Flat-equivalent speed at mid-band"),
    "km/h",
    2,
    "m/s",
    scale=KMH_PER_MPS,
    measure=measures.SPEED,
)
YIELD = MonthsFigure(mark("Share of time in band"), mark("points"), 0, "share", scale=100.0)
