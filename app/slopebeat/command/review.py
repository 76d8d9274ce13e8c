"""``slopebeat review FILE``: the answer for one recording, on the terminal or as JSON."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from pathlib import Path

from slopebeat.api.outing import choose_activity, make_aim, make_band
from slopebeat.command import common
from slopebeat.command.kept import as_kept, kept_book, with_earlier
from slopebeat.command.review_text import as_text
from slopebeat.command.speech import add_speech_options, answering, literally
from slopebeat.disk.places import library_path
from slopebeat.files.reading import read
from slopebeat.model.bands import Band, band_from_hr_max, parse_band
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.note_kinds import UTC_OFFSETS_H
from slopebeat.model.notes import SPORTS, Author, Note, NoteKind, new_note, present
from slopebeat.model.outing.notebooks import Notebook
from slopebeat.model.people import DEFAULT_BIKE_MASS_KG, DEFAULT_BODY_MASS_KG, DEFAULT_TARGET_S, Aim
from slopebeat.model.recording import Recording
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.values import review_values

_SPORTS = tuple(str(sport).replace(" ", "-") for sport in SPORTS)
"""Words for what was done, in the order in which notes count them."""

STAND_IN_HR_MAX_BPM = 180.0
"""Maximal heart rate of a 40-year-old by Tanaka 2001, 208 - 0.7 age; single people differ from such a
formula by 10-12 bpm. It stands in, and says so, where no band was given."""


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr("Review one recorded outing (FIT, GPX or TCX, also gzipped) without a window.")
    common.add_path(
        parser, "file", tr("the recording; several with --together"), metavar=tr("file"), nargs="+"
    )
    _add_together(parser)
    common.add_band_options(parser)
    _add_aim(parser)
    parser.add_argument(
        "--activity", type=int, metavar="N", help=tr("which activity of a file that holds several")
    )
    common.add_switch(
        parser, "--kept", tr("with the notes, doubts and load that were kept of it in the window")
    )
    common.add_path(
        parser,
        "--library",
        tr(
            "let the earlier outings in a library speak (with --athlete: your own); with --kept also the "
            "one to look in"
        ),
    )
    common.add_athlete(parser, tr("whose outings; needed when there are several"))
    _add_corrections(parser)
    common.add_json_option(parser)
    _add_files(parser)
    add_speech_options(parser)
    parser.set_defaults(run=run)


def _add_together(parser: argparse.ArgumentParser) -> None:
    """Let several recordings be one outing."""
    common.add_switch(parser, "--together", tr("review all activities of all files as parts of one outing"))
    parser.add_argument(
        "--bike-band", metavar=tr("LO-HI"), help=tr("with --together, the band of the parts on a bike")
    )


def _check_together(options: argparse.Namespace) -> None:
    """Refuse what cannot go together; UserError with a sentence."""
    if not options.together:
        if len(options.file) > 1:
            raise UserError(tr("Give one recording, or --together to review several as one outing."))
        if options.bike_band is not None:
            raise UserError(tr("--bike-band goes with --together."))
        return
    if options.bike_band is not None:
        parse_band(options.bike_band)
    named = [("--activity", options.activity), ("--csv", options.csv), ("--sport", options.sport)]
    for name, given in named:
        if given is not None:
            raise UserError(tr("{option} does not go with --together.").format(option=name))


def _add_aim(parser: argparse.ArgumentParser) -> None:
    common.add_number(
        parser, "--hr-rest", "N", literally(tr("resting heart rate; with --hr-max, 40-59 % of the reserve"))
    )
    common.add_number(parser, "--target", "MIN", tr("prescribed minutes in band (default 45)"))
    parser.add_argument("--body-mass", type=float, default=DEFAULT_BODY_MASS_KG, metavar="KG")
    common.add_number(parser, "--load", "KG", tr("load carried"))
    common.add_number(parser, "--load-until", "MIN", tr("minutes from the start until the load was set down"))
    parser.add_argument("--bike-mass", type=float, default=DEFAULT_BIKE_MASS_KG, metavar="KG")


def _add_corrections(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--sport", choices=_SPORTS, help=tr("what was done, where the file says something else")
    )
    parser.add_argument(
        "--utc-offset",
        type=_utc_offset_h,
        metavar="±HH:MM",
        help=tr("local time less UTC where the outing was, as in --utc-offset=-03:30"),
    )
    common.add_switch(
        parser, "--level-ground", tr("the ground was level, where the recording has no elevation")
    )


def _add_files(parser: argparse.ArgumentParser) -> None:
    common.add_path(parser, "--pdf", tr("write a report of one A4 page"), metavar=tr("PATH"))
    common.add_path(parser, "--html", tr("write the report as one HTML file"), metavar=tr("PATH"))
    common.add_path(
        parser,
        "--csv",
        tr("write samples, climbs, episodes, splits and notes as tables"),
        metavar=tr("FOLDER"),
    )


def run(options: argparse.Namespace) -> None:
    """Carry out ``slopebeat review``."""
    common.check_outputs(
        (options.json, options.html, options.pdf, *_tables(options)),
        (*options.file, options.library or library_path()),
    )
    _check_together(options)
    if options.together:
        from slopebeat.command.together import review_together

        review_together(options, *_aim(options), _entered_by_hand(options))
        return
    if options.json is not None:
        with answering(options.json):
            _answer(options)
    if any(path is not None for path in (options.csv, options.html, options.pdf)):
        _write_files(options)
    elif options.json is None:
        _answer(options)


def _tables(options: argparse.Namespace) -> list[Path]:
    if options.csv is None:
        return []
    from slopebeat.review.export import TABLE_NAMES

    return [options.csv / name for name in TABLE_NAMES]


def _answer(options: argparse.Namespace) -> None:
    review, _, warnings = _reviewed(options)
    common.give_answer(
        options.json, lambda: as_text(review, warnings), lambda: review_values(review, warnings)
    )


def _reviewed(options: argparse.Namespace) -> tuple[Review, tuple[Note, ...], tuple[str, ...]]:
    """The review, the notes on it, and sentences that are in the language in force."""
    aim, aim_warnings = _aim(options)
    file = read(options.file[0])
    recordings = file.recordings
    recording, choice_warnings = _choose(recordings, options.activity)
    book = Notebook()
    if options.kept:
        book = kept_book(file.content_hash, recordings.index(recording), options.library)
        recording, aim = as_kept(recording, aim, book, options)
    notes = (*book.notes, *_entered_by_hand(options))
    review = review_recording(recording, aim, book.marks, notes)
    again = None if book.marks is not None else lambda more: review_recording(recording, aim, more, notes)
    review, stale_warnings = with_earlier(review, options, again)
    return review, present(book.notes), aim_warnings + choice_warnings + stale_warnings


def _entered_by_hand(options: argparse.Namespace) -> tuple[Note, ...]:
    """What the options say of the outing, as the notes that would be kept of it."""
    notes = []
    if options.sport is not None:
        notes.append(new_note(NoteKind.SPORT, Author.ATHLETE, value=float(_SPORTS.index(options.sport) + 1)))
    if options.level_ground:
        notes.append(new_note(NoteKind.GRADE, Author.ATHLETE, value=0.0))
    if options.utc_offset is not None:
        notes.append(new_note(NoteKind.UTC_OFFSET, Author.ATHLETE, value=options.utc_offset))
    return tuple(notes)


def _utc_offset_h(text: str) -> float:
    """Hours of an offset such as ``+05:45``, ``-3:30`` or ``2``."""
    found = re.fullmatch(r"([+-]?)(\d{1,2})(?::(\d{2}))?", text.strip().replace("−", "-"))
    hours = float("nan") if found is None else int(found[2]) + int(found[3] or 0) / 60.0
    hours = -hours if found is not None and found[1] == "-" else hours
    if not UTC_OFFSETS_H[0] <= hours <= UTC_OFFSETS_H[1] or (found is not None and int(found[3] or 0) > 59):
        raise argparse.ArgumentTypeError(tr("give an offset from -12:00 to +14:00, such as +02:00"))
    return hours


def _aim(options: argparse.Namespace) -> tuple[Aim, tuple[str, ...]]:
    band, warnings = _band(options)
    target_s = DEFAULT_TARGET_S if options.target is None else options.target * 60.0
    load_kg = 0.0 if options.load is None else options.load
    until_s = None if options.load_until is None else options.load_until * 60.0
    return make_aim(band, target_s, options.body_mass, load_kg, until_s, options.bike_mass), warnings


def _band(options: argparse.Namespace) -> tuple[Band, tuple[str, ...]]:
    if options.band is not None and options.hr_rest is not None:
        raise UserError(tr("A resting heart rate goes with --hr-max, not with --band."))
    if options.band is None and options.hr_max is None and options.hr_rest is not None:
        raise UserError(tr("A resting heart rate needs --hr-max beside it."))
    band = make_band(options.band, options.hr_max, options.hr_rest)
    if band is not None:
        return band, ()
    band = band_from_hr_max(STAND_IN_HR_MAX_BPM)
    text = tr(
        "No band was given, so {band} stands in: 60-70 % of {hr_max} bpm, the mean maximum at 40 years, "
        "from which single people differ by 10-12 bpm. Give --band or --hr-max."
    )
    return band, (text.format(band=band, hr_max=f"{STAND_IN_HR_MAX_BPM:.0f}"),)


def _choose(recordings: Sequence[Recording], number: int | None) -> tuple[Recording, tuple[str, ...]]:
    """The recording asked for, else the longest one with heart rate, saying so."""
    index = choose_activity(recordings, number)
    if number is not None or len(recordings) == 1:
        return recordings[index], ()
    text = tr(
        "The file holds {n} activities; this is number {number}, the one with most heart rate. Choose "
        "another with --activity, or review all as one outing with --together."
    )
    return recordings[index], (text.format(n=len(recordings), number=index + 1),)


def _write_files(options: argparse.Namespace) -> None:
    review, notes, warnings = _reviewed(options)
    if options.csv is not None:
        from slopebeat.review.export import write_csv_folder

        write_csv_folder(review, options.csv, notes)
    if options.html is not None or options.pdf is not None:
        # Only a report draws: without one the command starts without Qt.
        from slopebeat.report.report import report_formats

        common.write_html_and_pdf(options, report_formats(review, notes, warnings))
