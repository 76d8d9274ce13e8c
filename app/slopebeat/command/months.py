"""``slopebeat months --library FILE --athlete NAME``: weeks and trends, on the terminal or as JSON."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from slopebeat.analysis.months.choice import Choice
from slopebeat.analysis.months.weeks import LEAST_SESSION_S, Week
from slopebeat.api.library import GROUNDS, athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure as number_text
from slopebeat.model.people import Athlete
from slopebeat.report.months.figures import months_csv
from slopebeat.review.cautions import cautions
from slopebeat.review.months.changes import left_out_lists, named_sentences
from slopebeat.review.months.months import Months
from slopebeat.review.months.values import months_of, months_values
from slopebeat.review.present.figure import aligned_lines

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.report.story import Story


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Weeks against the prescription and trends of an athlete's outings, without a window."
    )
    common.add_library_options(parser)
    common.add_day_options(parser)
    parser.add_argument("--ground", choices=sorted(GROUNDS), help=tr("only outings on foot, or on a bike"))
    common.add_answer_options(parser, tr("write every figure as CSV; - for standard output"))
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> None:
    """Carry out ``slopebeat months``."""
    common.give_as_asked(options, lambda library: _answer(options, library))


def _answer(options: argparse.Namespace, library: Library) -> common.AnswerForms:
    athlete = athlete_of(library, options.athlete)
    ground, first, last = GROUNDS.get(options.ground), options.first_day, options.last_day
    months, notes = months_of(library, athlete, Choice(ground=ground, first_day=first, last_day=last))

    def story() -> Story:
        from slopebeat.report.months.stories import months_story

        return months_story(athlete, months, notes)

    return common.AnswerForms(
        text=lambda: as_text(athlete, months, notes),
        values=lambda: months_values(athlete, months, notes),
        csv=lambda: months_csv(months),
        story=story,
    )


def as_text(athlete: Athlete, months: Months, notes: tuple[str, ...] = ()) -> str:
    """The months as a page of text for the terminal."""
    outings = trn("{n} outing", "{n} outings", months.count).format(n=months.count)
    span = trn("{outings} in {n} week", "{outings} in {n} weeks", len(months.weeks))
    head = f"{athlete.name}  |  {span.format(outings=outings, n=len(months.weeks))}"
    meanwhile = [text for group in months.changes for text in named_sentences(group, months.outings)]
    lines = [head, "", *months.sentences, *meanwhile, "", *_week_lines(months)]
    doubts = [*notes, *dict.fromkeys(text for series in months.series for text in series.left_out)]
    if doubts:
        lines += ["", tr("What to know about these figures"), *(f"  {text}" for text in doubts)]
    lines += _left_out(months)
    return "\n".join([*lines, "", *cautions(0, 2)])


def _left_out(months: Months) -> list[str]:
    """The outings that tell nothing of a change, are doubtful or in no chart, by name."""
    lines: list[str] = []
    for head, rows in left_out_lists(months.changes, months.not_drawn, months.outings):
        lines += ["", head, *(f"  {each.title}: {each.reason}" for each in rows)]
    return lines


def _week_lines(months: Months) -> list[str]:
    if not months.weeks:
        return []
    heads = (
        *(tr("Week"), tr("outings"), tr("in band min"), tr("above min"), tr("sessions")),
        *(tr("missing min"), tr("missing sessions"), tr("most above")),
    )
    least = tr("A session is an outing with at least {minutes} minutes in band.")
    rows = [row for week in months.weeks for row in _week_rows(months, week)]
    return [*aligned_lines((heads, *rows)), least.format(minutes=f"{LEAST_SESSION_S / 60:.0f}")]


def _week_rows(months: Months, week: Week) -> list[tuple[str, ...]]:
    """The row of a week, after one for the break before it."""
    most = "" if week.most_above is None else months.outings[week.most_above].title
    row = (
        *(week.iso, str(week.outings), _in_band(week), _minutes(week.above_s), str(week.sessions)),
        *(_minutes(week.missing_s), number_text(week.missing_sessions), most),
    )
    if not week.break_weeks:
        return [row]
    text = trn("{n} week without outings", "{n} weeks without outings", week.break_weeks)
    return [(text.format(n=week.break_weeks), *("" for _ in row[1:])), row]


def _in_band(week: Week) -> str:
    """Minutes in band; unknown when no outing of the week has a band."""
    return _minutes(None if week.outings and week.unbanded == week.outings else week.in_band_s)


def _minutes(seconds: float | None) -> str:
    return number_text(None if seconds is None else seconds / 60)
