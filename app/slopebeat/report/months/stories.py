"""The reports of months and of weeks: what changed, tables and pictures, and every outing left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from slopebeat.analysis.months.weeks import LEAST_SESSION_S
from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete
from slopebeat.report.months.charts import series_chart, weeks_chart
from slopebeat.report.shapes import Picture
from slopebeat.report.story import Part, Section, Story
from slopebeat.report.tables import Table, table_of
from slopebeat.review.cautions import cautions
from slopebeat.review.months.changes import DECOUPLING, LEVEL, YIELD, left_out_lists, named_sentences
from slopebeat.review.months.months import Months, Series
from slopebeat.review.present.figure import On
from slopebeat.review.present.weeks import BOARD_FIGURES, PHASE_FIGURES, WEEK_FIGURES
from slopebeat.review.week.athlete import AthleteWeeks, coming_week
from slopebeat.review.week.board import AthleteWeek, Board, WeekRow
from slopebeat.review.week.words import apart_sentences, board_words, edges_sentence

DRAWN = (LEVEL, DECOUPLING, YIELD)
"""Figures with a picture, in this order."""


def months_story(athlete: Athlete, months: Months, notes: Sequence[str] = ()) -> Story:
    """Everything the page of the months says of an athlete."""
    parts: list[Part] = [Section(tr("Verdicts"), months.sentences)]
    meanwhile = tuple(text for each in months.changes for text in named_sentences(each, months.outings))
    if meanwhile:
        parts.append(Section(tr("What else changed meanwhile"), meanwhile))
    if months.weeks:
        parts.append(Picture(tr("Minutes in band per week"), weeks_chart(months.weeks)))
        least = tr("A session is an outing with at least {minutes} minutes in band.")
        parts.append(Section("", (least.format(minutes=f"{LEAST_SESSION_S / 60:.0f}"),)))
    for figure in DRAWN:
        parts += [Picture(each.title, series_chart(months, each)) for each in _series(months, figure.name)]
    for head, rows in left_out_lists(months.changes, months.not_drawn, months.outings):
        parts.append(Section(head, tuple(f"{each.title}: {each.reason}" for each in rows)))
    if notes:
        parts.append(Section(tr("What to know about these figures"), tuple(notes)))
    return Story(
        tr("Months of {name}").format(name=athlete.name), _facts(months), tuple(parts), cautions(0, 2)
    )


def _series(months: Months, name: str) -> list[Series]:
    """Of one figure; with more than one point, the one with most outings first."""
    found = [each for each in months.series if each.figure.name == name and each.outing.size > 1]
    return sorted(found, key=lambda each: -each.outing.size)


def _facts(months: Months) -> str:
    outings = trn("{n} outing", "{n} outings", months.count).format(n=months.count)
    span = trn("{outings} in {n} week", "{outings} in {n} weeks", len(months.weeks))
    told = span.format(outings=outings, n=len(months.weeks))
    if not months.weeks:
        return told
    return f"{told}  ·  {months.weeks[0].iso} – {months.weeks[-1].iso}"


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
    parts += _sentences(tr("Counted apart"), apart_sentences(each.rows))
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
    lines = [line for line in sentence.splitlines() if line.strip()]
    coming = tr("{name}, for the week from {day}").format(name=row.athlete.name, day=coming_week(board))
    rows = [each for each in row.weeks if each.week.monday <= board.monday][-LAST_WEEKS:]
    parts: list[Part] = [Section(coming, (*lines, edges_sentence(row.week)))]
    if rows:
        last = tr("The last weeks of {name}").format(name=row.athlete.name)
        parts.append(_week_table(last, rows))
    return [*parts, *_sentences("", apart_sentences([row.row]))]


def _week_table(title: str, rows: Sequence[WeekRow]) -> Table:
    return table_of(title, WEEK_FIGURES, rows, On.TERMINAL)


def _sentences(title: str, sentences: Sequence[str]) -> list[Part]:
    texts = tuple(each for each in sentences if each)
    return [Section(title, texts)] if texts else []


def _span(rows: Sequence[WeekRow]) -> str:
    if not rows:
        return ""
    weeks = sorted({row.week.monday: row.week.iso for row in rows}.items())
    return (
        weeks[0][1]
        if len(weeks) == 1
        else tr("{first} to {last}").format(first=weeks[0][1], last=weeks[-1][1])
    )
