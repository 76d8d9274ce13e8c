"""The weeks of one athlete, for the command, reports and files; and the week to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from slopebeat.analysis.months.choice import Choice
from slopebeat.analysis.months.weeks import monday_of, week_of
from slopebeat.library.store import Library
from slopebeat.model.language import trn
from slopebeat.model.people import Athlete
from slopebeat.review.price.athlete import NextWeek, plan_week
from slopebeat.review.week.board import (
    AthleteWeek,
    Board,
    PhaseRow,
    WeekRow,
    phase_rows,
    read_outings,
    week_rows,
)

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
        text = trn(
            "{n} outing is not computed yet and in no week; open the library to do so.",
            "{n} outings are not computed yet and in no week; open the library to do so.",
            self.waiting,
        )
        return text.format(n=self.waiting)


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


def coming_week(board: Board) -> date:
    """Monday of the week that a sentence is for."""
    under_way = board.monday >= monday_of(board.today)
    return board.monday if under_way else board.monday + timedelta(weeks=1)


def plan_coming(library: Library, row: AthleteWeek, board: Board) -> NextWeek:
    """What is missing of the week to come, derived from the outings that teach until then.

    Minutes gone in it already count. Without a prescription nothing is missing.
    """
    identity, monday = row.athlete.identity, coming_week(board)
    sunday = monday + timedelta(days=6)
    known = [
        (number, each.summary)
        for number, each in enumerate(read_outings(library, identity))
        if each.summary is not None and monday <= each.outing.local_day() <= sunday
    ]
    week = week_of(monday, known, row.inputs.prescribed, board.today)
    taught = [each.evidence for each in library.results.evidence(identity) if each.teaches]
    day = min(board.today, sunday)
    return plan_week(taught, row.inputs.periods, week.missing_s or 0.0, week.prescription, day)
