"""How far the band's upper edge lies under the hard threshold: the aerobic gap, as coaches call it.

A wide gap says that the base is weak beside the top; over a tenth is called a gap by common practice, for
which no source is known.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.band.lactate import LactateTest

HARD_MMOL_L = 4.0
"""Lactate at the hard threshold (Heck et al. 1985, from memory); persons differ widely about it."""

FIRST_RISE_MMOL_L = 0.4
"""The chord of the modified largest distance begins before the first rise by this much
(Bishop 1998, doi:10.1097/00005768-199808000-00014)."""

GAP = 0.10
"""Share over the upper edge from which it is called a gap; common practice, no source."""


@dataclass(frozen=True)
class HardThreshold:
    """Heart rate at the hard threshold.

    Attributes
    ----------
    hr_bpm : at :data:`HARD_MMOL_L`, or as entered. low_bpm, high_bpm : least and most of the methods and
        readings; the same where it was entered.
    """

    hr_bpm: float
    low_bpm: float
    high_bpm: float

    @property
    def entered(self) -> bool:
        return self.low_bpm == self.high_bpm

    def over(self, upper_bpm: float) -> float:
        """How far it lies over an upper edge, as a share of that edge."""
        return self.hr_bpm / upper_bpm - 1.0


def hard_threshold(test: LactateTest) -> HardThreshold | None:
    """The hard threshold of a step test; None where the test ends before 4 mmol/L."""
    fixed = test.load_at(HARD_MMOL_L)
    if fixed is None:
        return None
    loads = [fixed] if (distant := largest_distance(test)) is None else [fixed, distant]
    readings = [reading(each) for each in loads for reading in (test.hr_at, test.hr_on_line)]
    return HardThreshold(test.hr_at(fixed), min(readings), max(readings))


def largest_distance(test: LactateTest) -> float | None:
    """Load where a third-degree curve lies furthest under the chord from the stage before the first rise.

    None where lactate never rises by :data:`FIRST_RISE_MMOL_L`, or the stages are too few for the curve.
    """
    load, lactate = test.load, test.lactate
    rises = np.flatnonzero(np.diff(lactate) >= FIRST_RISE_MMOL_L)
    if rises.size == 0 or load.size < 5:
        return None
    first = int(rises[0])
    slope = (lactate[-1] - lactate[first]) / (load[-1] - load[first])
    curve = np.polynomial.Polynomial.fit(load, lactate, 3)
    at = np.linspace(load[first], load[-1], 2001)
    return float(at[np.argmax(lactate[first] + slope * (at - load[first]) - curve(at))])
