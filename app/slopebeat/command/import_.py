"""``slopebeat import PATH...``: bring recordings into a library, from the terminal."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from types import FrameType

from slopebeat.command.common import add_athlete, add_band_options, add_path, add_switch, band_given
from slopebeat.command.speech import add_speech_options, literally
from slopebeat.command.terminal import EXIT_STOPPED, EXIT_WRONG, ProgressLine
from slopebeat.disk.places import library_path
from slopebeat.library.people import new_identity
from slopebeat.library.results import Inputs
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.errors import Cancelled, UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.review.archive.archive import is_archive
from slopebeat.review.archive.words import merge_words
from slopebeat.review.imports.importing import ImportProgress, import_files
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.imports.report import ImportReport, taken_over_words
from slopebeat.review.imports.sources import printable
from slopebeat.review.present.listed import name_of
from slopebeat.review.words.names import sport_name

FIRST_DAY = date(1970, 1, 1)
"""A band without a known beginning is in force from here on."""


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Bring recordings (FIT, GPX or TCX), folders of them and ZIP archives into a library. "
        "What is there already is passed over, so the same command can be given again."
    )
    add_path(parser, "paths", tr("a file, folder or ZIP archive"), metavar=tr("PATH"), nargs="+")
    library = tr("the library, made if missing (default {path})").format(path=library_path())
    add_path(parser, "--library", literally(library))
    add_athlete(parser, tr("whose outings they are; a new name adds an athlete"))
    add_band_options(parser, tr("band in bpm for an athlete who has none yet"))
    add_switch(
        parser,
        "--anyway",
        tr(
            "keep recordings also beside another recording of the same outing; without it the fuller one is "
            "kept. The very same file is never kept twice"
        ),
    )
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int | None:
    """Carry out ``slopebeat import``; the exit status where it is not 0."""
    for path in options.paths:
        if not path.exists():
            raise UserError(tr("There is no file or folder {path}.").format(path=path))
    place = options.library or library_path()
    band = band_given(options)
    only_archives = all(path.is_file() and is_archive(path) for path in options.paths)
    if options.athlete is None and not place.exists() and not only_archives:
        refusal = tr("{path} is a new library; say whose outings these are with --athlete.")
        raise UserError(refusal.format(path=place))
    with Library.open_or_create(place) as library, _stoppable() as stop:
        whose = None if only_archives else _whose(library, options.athlete, band)
        report = import_files(library, whose, options.paths, _told(stop), anyway=options.anyway)
        if report.archives:
            recompute(library, None, _told(stop), few_here=True)
        elif (band is not None and isinstance(whose, str)) or report.taken_over:
            assert report.asked is not None
            recompute(library, report.asked.athlete, _told(stop), few_here=True)
    print("\n".join(summary_lines(report)))
    return _ending(report)


def _whose(library: Library, name: str | None, band: Band | None) -> str | Inputs:
    """Identity of the athlete, with the band in force; or one who comes in with the first outing."""
    athlete = _athlete(library, name)
    if isinstance(athlete, str):
        new = Athlete(new_identity(), athlete)
        return Inputs(new, () if band is None else tuple(_first_bands(new, band)))
    if band is not None:
        _give_band(library, athlete, band)
    return athlete.identity


def _first_bands(athlete: Athlete, band: Band) -> list[BandPeriod]:
    """A band in force for all days, on foot and on a bike; later ones are the window's to add."""
    return [BandPeriod(athlete.identity, each, FIRST_DAY, band) for each in Ground]


def _give_band(library: Library, athlete: Athlete, band: Band) -> None:
    """Put a first band in force where there is none; the same command given again finds it there."""
    there: dict[Ground, list[Band]] = {}
    for period in library.bands.of(athlete.identity):
        there.setdefault(period.ground, []).append(period.band)
    for bands in there.values():
        if not any(_edges(each) == _edges(band) for each in bands):
            refusal = tr(
                "{athlete} has another band already ({band}); leave the band out to import, and change it in "
                "the window, with the day from which it holds."
            )
            raise UserError(refusal.format(athlete=athlete.name, band=bands[-1]))
    with library.together():
        for period in _first_bands(athlete, band):
            if period.ground not in there:
                library.bands.put(period)


def _edges(band: Band) -> tuple[int, int]:
    return band.lower_bpm, band.upper_bpm


def summary_lines(report: ImportReport) -> list[str]:
    """What an import did, for people: counts first, then each file that gave nothing, and why."""
    imported, known, unread = len(report.imported), len(report.duplicates), len(report.unreadable)
    lines = [
        tr("{imported}, {known}, {unread}.").format(
            imported=trn("{n} outing imported", "{n} outings imported", imported).format(n=imported),
            known=trn("{n} already there", "{n} already there", known).format(n=known),
            unread=trn("{n} file not read", "{n} files not read", unread).format(n=unread),
        )
    ]
    if report.archives and not (imported or known or unread):
        lines.clear()
    lines += [merge_words(merge) for merge in report.archives]
    kinds = (tr("imported"), tr("duplicate"), tr("not read"), tr("fuller"))
    width = max(map(len, kinds))
    first, second, third, fourth = (kind.ljust(width) for kind in kinds)
    for outing in report.imported:
        start = f"{outing.start_utc:%Y-%m-%d %H:%M} UTC"
        lines.append(f"  {first}  {start}  {name_of(outing)} ({sport_name(outing.sport)})")
    for duplicate in report.duplicates:
        same = duplicate.outing
        text = tr("{file} is {title} of {start} UTC")
        if not duplicate.same_file:
            text = tr("{file} is another recording of {title} of {start} UTC, kept from {before}")
        start = f"{same.start_utc:%Y-%m-%d %H:%M}"
        names = {"file": duplicate.name, "title": name_of(same), "start": start, "before": same.file_name}
        lines.append(f"  {second}  {text.format(**names)}")
    lines += [f"  {fourth}  {taken_over_words(each)}" for each in report.taken_over]
    for unreadable in report.unreadable:
        lines.append(f"  {third}  {unreadable.name}: {unreadable.sentence}")
    if report.other_recordings:
        lines.append(
            tr("Duplicates by other files are other recordings of an outing; --anyway keeps them too.")
        )
    return lines


def _ending(report: ImportReport) -> int | None:
    """The exit status, with a sentence where it is not 0."""
    sentence, status = report.fault, EXIT_WRONG
    if report.cancelled:
        sentence = tr("The import was stopped; give the same command again to go on.")
        status = EXIT_STOPPED
    elif sentence is None and not (
        report.imported or report.duplicates or report.taken_over or report.archives
    ):
        sentence = tr("Nothing was imported: no recording could be read.")
    if sentence is None:
        return None
    print(sentence, file=sys.stderr)
    return status


def _athlete(library: Library, name: str | None) -> Athlete | str:
    """The athlete of that name, or the only one; a name nobody has yet stays a name."""
    if name is not None:
        if not name.strip():
            raise UserError(tr("An athlete needs a name."))
        return library.athletes.named(name) or printable(name)
    athletes = list(library.athletes)
    if len(athletes) == 1:
        return athletes[0]
    if not athletes:
        raise UserError(tr("The library has no athlete yet; say whose outings these are with --athlete."))
    names = ", ".join(athlete.name for athlete in athletes)
    refusal = tr("The library has several athletes ({names}); choose one with --athlete.")
    raise UserError(refusal.format(names=names))


class _Stop:
    """Whether the user asked to stop."""

    asked = False


@contextmanager
def _stoppable() -> Iterator[_Stop]:
    """While inside, an interrupt from the keyboard stops between two files instead of in the middle."""
    stop = _Stop()

    def ask(number: int, frame: FrameType | None) -> None:
        stop.asked = True

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def _told(stop: _Stop) -> ImportProgress:
    """Progress on one line of the terminal, if there is one."""
    line = ProgressLine()

    def progress(done: int, total: int, name: str) -> None:
        if stop.asked:
            raise Cancelled
        line.importing(done, total, name)

    return progress
