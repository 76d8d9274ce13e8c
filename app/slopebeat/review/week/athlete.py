"""The weeks of one athlete, for the command, reports and files."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from slopebeat.analysis.months.choice import Choice
from slopebeat.library.store import Library
from slopebeat.model.language import trn
from slopebeat.model.people import Athlete
from slopebeat.review.week.board import WeekRow, read_outings, week_rows
from slopebeat.review.week.phases import PhaseRow, phase_rows

EVERYTHING = Choice()


@dataclass(frozen=True)
class AthleteWeeks:
    """The weeks of one athlete; ``waiting`` outings are not computed yet and in none of them."""

    athlete: Athlete
    rows: tuple[WeekRow, ...]
    waiting: int
    phases: tuple[PhaseRow, ...] = ()

    @property
    def waiting_words(self) -> str:
        """That some outings are not computed yet; empty where all are."""
        if not self.waiting:
            return ""
        told = trn(
            "{n} outing is not computed yet and in no week; open the library to do so.",
            "{n} outings are not computed yet and in no week; open the library to do so.",
            self.waiting,
        )
        return told.format(n=self.waiting)


def weeks_of(
    library: Library, athlete: Athlete, until: date, choice: Choice = EVERYTHING, only: date | None = None
) -> AthleteWeeks:
    """The weeks up to the one that holds ``until``; ``only``: Monday of the one week wanted."""
    outings = read_outings(library, athlete.identity)
    inputs = library.inputs(athlete.identity)
    rows = week_rows(inputs, outings, until, choice)
    if only is not None:
        rows = tuple(row for row in rows if row.week.monday == only)
    waiting = sum(each.summary is None for each in outings)
    return AthleteWeeks(athlete, rows, waiting, phase_rows(inputs, outings, until))
