"""The week to come for one athlete: this one while it is under way, else the one after it."""

from __future__ import annotations

from datetime import date, timedelta

from slopebeat.analysis.months.weeks import monday_of, week_of
from slopebeat.library.store import Library
from slopebeat.review.price.week import NextWeek, plan_week
from slopebeat.review.week.board import AthleteWeek, Board, read_outings


def coming_week(board: Board) -> date:
    """Monday of the week that a sentence is for."""
    under_way = board.monday >= monday_of(board.today)
    return board.monday if under_way else board.monday + timedelta(weeks=1)


def plan_coming(library: Library, row: AthleteWeek, board: Board) -> NextWeek:
    """What is missing of the week to come, told from the outings that teach until then.

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
