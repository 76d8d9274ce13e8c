"""``slopebeat weeks``: every week against what was prescribed, on the terminal, as JSON, CSV or a report."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from slopebeat.analysis.months.choice import Choice
from slopebeat.api.library import athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options
from slopebeat.model.language import tr
from slopebeat.report.months.figures import weeks_csv, weeks_values
from slopebeat.review.cautions import cautions
from slopebeat.review.present.figure import On, text_table
from slopebeat.review.present.weeks import PHASE_FIGURES, WEEK_FIGURES
from slopebeat.review.week.athlete import AthleteWeeks, weeks_of
from slopebeat.review.week.board import WeekRow
from slopebeat.review.week.words import apart_sentences, edges_sentence
from slopebeat.review.words.messages import say

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.report.story import Story

_ISO_WEEK = re.compile(r"(\d{4})-?W(\d{2})")


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Minutes in, above and below the band week by week, against the prescription in force then."
    )
    common.add_library_options(parser, tr("whose outings (default: every athlete's)"))
    parser.add_argument(
        "--week", type=iso_week, metavar=tr("WEEK"), help=tr("only this week, such as 2026-W28")
    )
    common.add_day_options(parser)
    common.add_answer_options(parser, tr("write the weeks as CSV; - for standard output"))
    add_speech_options(parser)
    parser.set_defaults(run=run)


def iso_week(text: str) -> date:
    """The Monday of a week as options give it, for the argument parser."""
    found = _ISO_WEEK.fullmatch(text)
    try:
        if found is not None:
            return date.fromisocalendar(int(found[1]), int(found[2]), 1)
    except ValueError:
        pass
    refusal = tr("A week is written as year and number, like 2026-W28; {text} is not.")
    raise argparse.ArgumentTypeError(refusal.format(text=repr(text)))


def run(options: argparse.Namespace) -> None:
    """Carry out ``slopebeat weeks``."""
    common.give_as_asked(options, lambda library: _answer(options, library))


def _answer(options: argparse.Namespace, library: Library) -> common.AnswerForms:
    asked = options.athlete
    athletes = list(library.athletes) if asked is None else [athlete_of(library, asked)]
    choice = Choice(first_day=options.first_day, last_day=options.last_day)
    until = date.today() if options.last_day is None else min(options.last_day, date.today())
    found = tuple(weeks_of(library, each, until, choice, options.week) for each in athletes)
    notes = tuple(map(say, library.damage.found))

    def story() -> Story:
        from slopebeat.report.months.stories import weeks_story

        return weeks_story(found, notes)

    return common.AnswerForms(
        text=lambda: as_text(found, notes),
        values=lambda: weeks_values(found, notes),
        csv=lambda: weeks_csv(found),
        story=story,
    )


def as_text(found: Sequence[AthleteWeeks], notes: tuple[str, ...] = ()) -> str:
    """The weeks as a page of text for the terminal."""
    lines: list[str] = []
    for each in found:
        phases = ["", *text_table(On.TERMINAL, PHASE_FIGURES, each.phases)] if each.phases else []
        lines += [each.athlete.name, *_week_lines(each.rows), *apart_sentences(each.rows)]
        lines += [*([each.waiting_words] if each.waiting else []), *phases, ""]
    if not found:
        lines += [tr("The library holds no athlete yet."), ""]
    return "\n".join([*lines, *notes, *cautions(0, 2)])


def _week_lines(rows: Sequence[WeekRow]) -> list[str]:
    if not rows:
        return [tr("No week yet that could be told of.")]
    lines = text_table(On.TERMINAL, WEEK_FIGURES, rows)
    latest = edges_sentence(rows[-1].week)
    return lines if not latest or len(rows) > 1 else [*lines, latest]
