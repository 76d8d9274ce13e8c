"""``slopebeat weeks``: every week against what was prescribed, on the terminal, as JSON or as CSV."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from slopebeat.analysis.months.choice import Choice
from slopebeat.api.library import athlete_of
from slopebeat.command.common import (
    add_day_options,
    add_json_option,
    add_library_options,
    check_outputs,
    give_answer,
    headers,
    table,
)
from slopebeat.command.speech import add_speech_options, answering
from slopebeat.disk.writing import write_whole
from slopebeat.library.store import Library, default_path
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import EDGE_OFF_BPM
from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete, Phase
from slopebeat.review.cautions import cautions
from slopebeat.review.export import csv_text
from slopebeat.review.present.figure import On, csv_table, json_of, shown_on
from slopebeat.review.present.phases import PHASE_FIGURES
from slopebeat.review.present.weeks import WEEK_FIGURES
from slopebeat.review.week.board import WeekRow, read_outings, week_rows
from slopebeat.review.week.phases import PhaseRow, phase_rows
from slopebeat.review.week.words import apart_counts, apart_words, edges_sentence
from slopebeat.review.words.messages import say

EXIT_OK, EXIT_WRONG = 0, 2

_ISO_WEEK = re.compile(r"(\d{4})-?W(\d{2})")


@dataclass(frozen=True)
class Weeks:
    """The weeks of one athlete; ``waiting`` outings are not computed yet and in none of them."""

    athlete: Athlete
    rows: tuple[WeekRow, ...]
    waiting: int
    phases: tuple[PhaseRow, ...] = ()


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Minutes in, above and below the band week by week, against the prescription in force then."
    )
    add_library_options(parser, tr("whose outings (default: every athlete's)"))
    parser.add_argument(
        "--week", type=iso_week, metavar=tr("WEEK"), help=tr("only this week, such as 2026-W28")
    )
    add_day_options(parser)
    add_json_option(parser)
    parser.add_argument("--csv", metavar=tr("PATH"), help=tr("write the weeks as CSV; - for standard output"))
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


def run(options: argparse.Namespace) -> int:
    """Carry out ``slopebeat weeks``; a sentence on standard error and 2 for what the user can mend."""
    try:
        check_outputs((options.json, options.csv), (options.library or default_path(),))
        with answering(options.json or options.csv):
            found, notes = _weeks(options)
            if options.csv is not None:
                _give_csv(options.csv, found)
            if options.csv is None or options.json is not None:
                give_answer(options.json, lambda: as_text(found, notes), lambda: as_values(found, notes))
    except UserError as problem:
        print(problem, file=sys.stderr)
        return EXIT_WRONG
    return EXIT_OK


def _weeks(options: argparse.Namespace) -> tuple[tuple[Weeks, ...], tuple[str, ...]]:
    with Library.open(options.library or default_path()) as library:
        asked = options.athlete
        athletes = list(library.athletes) if asked is None else [athlete_of(library, asked)]
        found = tuple(_of(library, each, options) for each in athletes)
        return found, tuple(map(say, library.damage.found))


def _of(library: Library, athlete: Athlete, options: argparse.Namespace) -> Weeks:
    outings = read_outings(library, athlete.identity)
    choice = Choice(first_day=options.first_day, last_day=options.last_day)
    until = date.today() if options.last_day is None else min(options.last_day, date.today())
    inputs = library.inputs(athlete.identity)
    rows = week_rows(inputs, outings, until, choice)
    phases = phase_rows(inputs, outings, until)
    if options.week is not None:
        rows = tuple(row for row in rows if row.week.monday == options.week)
    return Weeks(athlete, rows, sum(each.summary is None for each in outings), phases)


def _give_csv(path: str, found: Sequence[Weeks]) -> None:
    text = csv_text(*csv_table(WEEK_FIGURES, [row for each in found for row in each.rows]))
    if path == "-":
        sys.stdout.write(text)
    else:
        write_whole(Path(path), text.encode("utf-8"))


def as_values(found: Sequence[Weeks], notes: tuple[str, ...] = ()) -> dict[str, Any]:
    """The weeks as JSON values: seconds, minutes as prescribed, names of outings."""
    return {
        "edge_off_bpm": EDGE_OFF_BPM,
        "athletes": [
            {
                "athlete": each.athlete.name,
                "waiting": each.waiting,
                "phases": [_phase_values(at, row) for at, row in enumerate(each.phases)],
                "weeks": [_values(at, row) for at, row in enumerate(each.rows)],
            }
            for each in found
        ],
        "warnings": list(notes),
    }


def _phase_values(at: int, row: PhaseRow) -> dict[str, Any]:
    """The figures of a phase a week, under the name of its kind; of the days of none under null."""
    return {"phase": None if row.phase is None else _named(row.phase), **json_of(PHASE_FIGURES, at, row)}


def _named(phase: Phase) -> dict[str, Any]:
    return {
        "kind": phase.kind.value,
        "text": phase.text,
        "first_day": phase.first_day.isoformat(),
        "last_day": None if phase.last_day is None else phase.last_day.isoformat(),
    }


def _values(at: int, row: WeekRow) -> dict[str, Any]:
    phases = [_named(each) for each in row.phases]
    return json_of(WEEK_FIGURES, at, row) | {"phases": phases, "apart": apart_counts(row)}


def as_text(found: Sequence[Weeks], notes: tuple[str, ...] = ()) -> str:
    """The weeks as a page of text for the terminal."""
    lines: list[str] = []
    for each in found:
        lines += [each.athlete.name, *_week_lines(each.rows), *_apart_lines(each), *_phase_lines(each), ""]
    if not found:
        lines += [tr("The library holds no athlete yet."), ""]
    return "\n".join([*lines, *notes, *cautions(0, 2)])


def _week_lines(rows: Sequence[WeekRow]) -> list[str]:
    if not rows:
        return [tr("No week yet that could be told of.")]
    figures = shown_on(On.TERMINAL, WEEK_FIGURES)
    cells = [[figure.text_of(at, row) for figure in figures] for at, row in enumerate(rows)]
    left = [at for at, figure in enumerate(figures) if figure.kind.words]
    lines = table([*headers([figure.header for figure in figures]), *cells], left)
    latest = edges_sentence(rows[-1].week)
    return lines if not latest or len(rows) > 1 else [*lines, latest]


def _phase_lines(each: Weeks) -> list[str]:
    if not each.phases:
        return []
    figures = shown_on(On.TERMINAL, PHASE_FIGURES)
    cells = [[figure.text_of(at, row) for figure in figures] for at, row in enumerate(each.phases)]
    return ["", *table([*headers([figure.header for figure in figures]), *cells], (0, 1))]


def _apart_lines(each: Weeks) -> list[str]:
    """The outings counted apart by name, and how many are not computed yet."""
    lines = [
        tr("{week}, counted apart: {outings}").format(week=row.week.iso, outings=apart_words(row))
        for row in each.rows
        if row.apart
    ]
    if each.waiting:
        text = trn(
            "{n} outing is not computed yet and in no week; open the library to do so.",
            "{n} outings are not computed yet and in no week; open the library to do so.",
            each.waiting,
        )
        lines.append(text.format(n=each.waiting))
    return lines
