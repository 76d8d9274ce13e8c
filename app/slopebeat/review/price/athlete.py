"""All that is told of one athlete: what ground costs, the week, what is missing, the gap, and the letter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from slopebeat.library.results import Inputs
from slopebeat.model.bands import Band
from slopebeat.model.evidence import OutingEvidence, OutingSummary
from slopebeat.model.people import Athlete, BandPeriod, Ground, Prescription, session_target_s
from slopebeat.review.price.gap import Gap, gap_sentences, gaps
from slopebeat.review.price.grounds import Price, review_price
from slopebeat.review.price.letter import Letter, letter_of, suggested_text
from slopebeat.review.price.week import NextWeek, WeekSoFar, plan_week, week_so_far


@dataclass(frozen=True)
class AthletePrice:
    """As known at the end of a day. ``week`` is None where no minutes are prescribed or stated as missing."""

    athlete: Athlete
    prescribed: Prescription
    price: Price
    so_far: WeekSoFar
    week: NextWeek | None
    gaps: tuple[Gap, ...]

    @property
    def text(self) -> str:
        """The text suggested for the letter."""
        sentences = gap_sentences(self.gaps)
        return suggested_text(self.prescribed, self.so_far, self.week, self.price, sentences)

    def letter(self, text: str | None = None) -> Letter:
        """The letter with a text, by default the one suggested."""
        return letter_of(self.athlete, self.price.day, self.text if text is None else text, self.price)


def price_of_athlete(
    inputs: Inputs,
    taught: Sequence[OutingEvidence],
    summaries: Sequence[OutingSummary],
    day: date,
    *,
    target_s: float | None = None,
    missing_s: float | None = None,
    band: Band | None = None,
) -> AthletePrice:
    """Tell all of an athlete.

    Parameters
    ----------
    taught : what the outings teach that the user lets teach. target_s : time in band the table is for; by
        default one prescribed session. missing_s : by default what is missing this week.
    band : for all sports, in the place of those in force.
    """
    prescribed, periods = inputs.prescribed(day), inputs.periods
    known = gaps(each for each in periods if each.from_day <= day)
    if band is not None:
        periods = tuple(BandPeriod(inputs.athlete.identity, ground, date.min, band) for ground in Ground)
    so_far = week_so_far(summaries, prescribed, day)
    missing = so_far.missing_s if missing_s is None else missing_s
    price = review_price(taught, periods, target_s or session_target_s(prescribed), day)
    week = None if missing is None else plan_week(taught, periods, missing, prescribed, day)
    return AthletePrice(inputs.athlete, prescribed, price, so_far, week, known)
