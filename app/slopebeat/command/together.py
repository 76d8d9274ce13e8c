"""Several recordings, or a file of several activities, reviewed as one outing on the terminal."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from slopebeat.analysis.day.together import days_of
from slopebeat.command.common import give_answer, headers, table
from slopebeat.command.speech import answering
from slopebeat.files.reading import read
from slopebeat.model.bands import Band, parse_band
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.units import clock
from slopebeat.review.cautions import cautions
from slopebeat.review.day.day import Day, ends_of, review_day
from slopebeat.review.day.rows import PART_FIGURES, day_parts_of, part_rows
from slopebeat.review.day.values import day_values
from slopebeat.review.day.words import day_answer, day_span, day_title, drift_sentences
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.account import ACCOUNT
from slopebeat.review.present.figure import On, shown_on


def add_together_options(parser: argparse.ArgumentParser) -> None:
    """Let several recordings be one outing."""
    parser.add_argument(
        "--together",
        action="store_true",
        help=tr("review all activities of all files as parts of one outing"),
    )
    parser.add_argument(
        "--bike-band", metavar=tr("LO-HI"), help=tr("with --together, the band of the parts on a bike")
    )


def check_together(options: argparse.Namespace) -> None:
    """Refuse what cannot go together; UserError with a sentence."""
    if not options.together:
        if len(options.file) > 1:
            raise UserError(tr("Give one recording, or --together to review several as one outing."))
        if options.bike_band is not None:
            raise UserError(tr("--bike-band goes with --together."))
        return
    named = [("--activity", options.activity), ("--csv", options.csv), ("--sport", options.sport)]
    named += [
        ("--library", options.library),
        ("--athlete", options.athlete),
        ("--kept", options.kept or None),
    ]
    for name, given in named:
        if given is not None:
            raise UserError(tr("{option} does not go with --together.").format(option=name))


def reviewed_day(paths: Sequence[Path], aim: Aim, bike_band: str | None, notes: Sequence[Note]) -> Day:
    """All activities of the files, each reviewed with the band of its sport.

    Raises
    ------
    UserError
        With a sentence, when a file cannot be read or parts were recorded at the same time.
    """
    on_bike = None if bike_band is None else parse_band(bike_band)
    recordings = [each for path in paths for each in read(path).recordings]
    return review_day([_reviewed(each, aim, on_bike, notes) for each in recordings])


def _reviewed(recording: Recording, aim: Aim, bike_band: Band | None, notes: Sequence[Note]) -> Review:
    review = review_recording(recording, aim, None, notes)
    if bike_band is None or not review.track.on_bike:
        return review
    return review_recording(recording, replace(aim, band=bike_band), None, notes)


def review_together(
    options: argparse.Namespace, aim: Aim, warnings: tuple[str, ...], notes: Sequence[Note]
) -> None:
    """Review the day and give the answer where it was asked for; UserError with a sentence."""
    files = options.html is not None or options.pdf is not None
    if options.json is not None:
        with answering(options.json):
            _give(options, aim, warnings, notes)
    if files:
        # Only a report draws: without one the command starts without Qt.
        from slopebeat.report.day import write_day_html, write_day_pdf

        day = reviewed_day(options.file, aim, options.bike_band, notes)
        for path, write in ((options.html, write_day_html), (options.pdf, write_day_pdf)):
            if path is not None:
                write(day, path, (*warnings, *not_at_once(day)))
    elif options.json is None:
        _give(options, aim, warnings, notes)


def _give(options: argparse.Namespace, aim: Aim, warnings: tuple[str, ...], notes: Sequence[Note]) -> None:
    day = reviewed_day(options.file, aim, options.bike_band, notes)
    sentences = (*warnings, *not_at_once(day))
    give_answer(options.json, lambda: day_text(day, sentences), lambda: day_values(day, sentences))


def not_at_once(day: Day) -> tuple[str, ...]:
    """A sentence where time and places alone would not have joined the parts."""
    if len(day.parts) < 2 or len(days_of([ends_of(each.recording, "") for each in day.parts])) == 1:
        return ()
    return (tr("The parts do not follow one another at one place within minutes; they are joined as asked."),)


def day_text(day: Day, warnings: tuple[str, ...] = ()) -> str:
    """The day as a page of text for the terminal."""
    lines = [day_title(day), day_span(day), "", " ".join(day_answer(day)), "", *_account(day)]
    shown = shown_on(On.TERMINAL, PART_FIGURES)
    rows = [[each.text_of(i, row) for each in shown] for i, row in enumerate(part_rows(day))]
    words = [i for i, each in enumerate(shown) if each.kind.words]
    lines += ["", tr("Parts"), *table((*headers([each.header for each in shown]), *rows), words, "  ")]
    lines += ["", *drift_sentences(day.drift)]
    doubts = [*warnings, *_numbered(day)]
    if doubts:
        lines += ["", tr("What to know about this recording"), *(f"  {text}" for text in doubts)]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _account(day: Day) -> list[str]:
    parts = day_parts_of(day)
    if not parts or day.account is None:
        return []
    rows = [(each.name, clock(each.seconds)) for each in parts]
    return [tr(ACCOUNT.name), *table([*rows, (tr("Span"), clock(day.account.span_s))], indent="  ")]


def _numbered(day: Day) -> Iterator[str]:
    for number, part in enumerate(day.parts, 1):
        for text in part.warnings:
            yield tr("Part {n}: {text}").format(n=number, text=text)
