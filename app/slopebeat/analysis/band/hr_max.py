"""Maximal heart rate by age: a mean of many people, never one person's without its error."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slopebeat.model.errors import UserError
from slopebeat.model.message import Message, message

ERROR_BPM = (10.0, 12.0)
"""Standard deviation of single people around such a formula (cited in Gellish 2007)."""

AGES = (10.0, 100.0)
"""Ages a formula is worked out for [project choice]; the studies were of adults."""


@dataclass(frozen=True)
class AgeFormula:
    """A published formula: its name, and maximal heart rate in bpm of an age in years."""

    name: str
    hr_max_bpm: Callable[[float], float]


FORMULAS = (
    AgeFormula("Fox", lambda age: 220.0 - age),  # cited in Gellish 2007
    AgeFormula("Tanaka", lambda age: 208.0 - 0.7 * age),  # Tanaka 2001
    AgeFormula("Gellish", lambda age: 207.0 - 0.7 * age),  # Gellish 2007, Med Sci Sports Exerc 39:822
)
"""Formulas on offer, as a table."""

USUAL_FORMULA = FORMULAS[1]
"""The one a band is made from; its mean lies within a beat of the third for adults [project choice]."""


@dataclass(frozen=True)
class HrMaxEstimate:
    """What one formula says for an age: the mean, and where two thirds of single people lie around it.

    ``low_bpm`` and ``high_bpm`` take the larger error, 12 bpm, one standard deviation either way.
    """

    formula: AgeFormula
    age_years: float
    hr_max_bpm: float
    low_bpm: float
    high_bpm: float

    @property
    def sentence(self) -> Message:
        low, high = ERROR_BPM
        name, bpm = self.formula.name, self.hr_max_bpm
        return message("hr_max.by_age", name=name, bpm=bpm, age=self.age_years, low=low, high=high)


def hr_max_by_age(age_years: float) -> tuple[HrMaxEstimate, ...]:
    """Every formula's estimate with its error.

    Raises
    ------
    UserError
        For an age the formulas say nothing of.
    """
    if not AGES[0] <= age_years <= AGES[1]:
        raise UserError(message("hr_max.no_such_age", low=AGES[0], high=AGES[1], age=age_years))
    estimates = []
    for formula in FORMULAS:
        mean = formula.hr_max_bpm(age_years)
        estimates.append(HrMaxEstimate(formula, age_years, mean, mean - ERROR_BPM[1], mean + ERROR_BPM[1]))
    return tuple(estimates)


def usual_estimate(age_years: float) -> HrMaxEstimate:
    """The estimate a band is made from; UserError as :func:`hr_max_by_age`."""
    return next(each for each in hr_max_by_age(age_years) if each.formula is USUAL_FORMULA)
