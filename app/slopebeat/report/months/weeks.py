"""The report of weeks: one athlete's or everybody's, and the week of every athlete with what comes next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from slopebeat.model.language import tr, trn
from slopebeat.report.months.charts import weeks_chart
from slopebeat.report.months.story import Part, Picture, Section, Story
from slopebeat.report.tables import Table, table_of
from slopebeat.review.cautions import cautions
from slopebeat.review.present.figure import On
from slopebeat.review.present.weeks import BOARD_FIGURES, PHASE_FIGURES, WEEK_FIGURES
from slopebeat.review.week.athlete import AthleteWeeks, coming_week
from slopebeat.review.week.board import AthleteWeek, Board, WeekRow
from slopebeat.review.week.words import apart_words, board_words, edges_sentence

LAST_WEEKS = 8
"""Weeks of each athlete that stand below the one the report is of [project choice]."""


def weeks_story(found: Sequence[AthleteWeeks], notes: Sequence[str] = ()) -> Story:
    """Every week of every athlete given, with the outings counted apart and the phases."""
    parts: list[Part] = []
    for each in found:
        parts += _athlete(each, several=len(found) > 1)
    if notes:
        parts.append(Section(tr("What to know about these figures"), tuple(notes)))
    names = ", ".join(each.athlete.name for each in found)
    title = tr("Weeks of {name}").format(name=names) if len(found) == 1 else tr("Weeks of every athlete")
    return Story(title, _span([row for each in found for row in each.rows]), tuple(parts), cautions(0, 2))


def _athlete(each: AthleteWeeks, several: bool) -> list[Part]:
    name = each.athlete.name
    if not each.rows:
        return [Section(name if several else "", (tr("No week yet that could be told of."),))]
    title = tr("Minutes in band per week")
    parts: list[Part] = []
    if len(each.rows) > 1:
        chart = weeks_chart([row.week for row in each.rows])
        parts.append(Picture(f"{name}: {title}" if several else title, chart))
    parts.append(_week_table(name if several else tr("Weeks"), each.rows))
    edges = edges_sentence(each.rows[-1].week) if len(each.rows) == 1 else ""
    parts += _sentences("", (edges, each.waiting_words))
    parts += _sentences(tr("Counted apart"), _apart(each.rows))
    if each.phases:
        parts.append(table_of(tr("Phases side by side"), PHASE_FIGURES, each.phases, On.TERMINAL))
    return parts


def board_story(board: Board, sentences: Mapping[str, str]) -> Story:
    """The week of every athlete; ``sentences``: for the week to come, by the identity of the athlete."""
    parts: list[Part] = [
        table_of(tr("The week of every athlete"), BOARD_FIGURES, board.rows, On.WINDOW),
    ]
    for row in board.rows:
        parts += _of_board(row, board, sentences.get(row.athlete.identity, ""))
    count = trn("{n} athlete", "{n} athletes", len(board.rows)).format(n=len(board.rows))
    return Story(board_words(board), count, tuple(parts), cautions(0, 2))


def _of_board(row: AthleteWeek, board: Board, sentence: str) -> list[Part]:
    told = [line for line in sentence.splitlines() if line.strip()]
    coming = tr("{name}, for the week from {day}").format(name=row.athlete.name, day=coming_week(board))
    rows = [each for each in row.weeks if each.week.monday <= board.monday][-LAST_WEEKS:]
    parts: list[Part] = [Section(coming, (*told, edges_sentence(row.week)))]
    if rows:
        last = tr("The last weeks of {name}").format(name=row.athlete.name)
        parts.append(_week_table(last, rows))
    return [*parts, *_sentences("", _apart([row.row]))]


def _week_table(title: str, rows: Sequence[WeekRow]) -> Table:
    return table_of(title, WEEK_FIGURES, rows, On.TERMINAL)


def _apart(rows: Sequence[WeekRow]) -> tuple[str, ...]:
    """The outings counted apart, by week."""
    told = tr("{week}, counted apart: {outings}")
    return tuple(told.format(week=row.week.iso, outings=apart_words(row)) for row in rows if row.apart)


def _sentences(title: str, sentences: Sequence[str]) -> list[Part]:
    told = tuple(each for each in sentences if each)
    return [Section(title, told)] if told else []


def _span(rows: Sequence[WeekRow]) -> str:
    if not rows:
        return ""
    weeks = sorted({row.week.monday: row.week.iso for row in rows}.items())
    return (
        weeks[0][1]
        if len(weeks) == 1
        else tr("{first} to {last}").format(first=weeks[0][1], last=weeks[-1][1])
    )
