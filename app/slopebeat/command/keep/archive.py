"""``slopebeat archive save|take|show``: everything of one athlete as one file, and what is in such a file."""

from __future__ import annotations

import argparse

from slopebeat.api.library import athlete_of
from slopebeat.command.common import add_athlete, add_path, check_outputs
from slopebeat.command.speech import add_speech_options, literally
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.review.archive.archive import open_archive
from slopebeat.review.archive.library import brought, merge_archive, write_archive
from slopebeat.review.archive.words import archive_words, change_words, merge_words
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.present.figure import aligned_lines


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr("Save everything of one athlete as one file, or take such a file into a library.")
    acts = parser.add_subparsers(dest="act", required=True, metavar=tr("command"))
    save = acts.add_parser("save", help=tr("write an archive of one athlete"))
    add_path(save, "file", tr("the archive to write"))
    add_athlete(save, tr("whose outings; may be left out when there is only one athlete"))
    take = acts.add_parser("take", help=tr("bring an archive into a library"))
    add_path(take, "file", tr("the archive to take in"))
    show = acts.add_parser("show", help=tr("say what an archive holds, and who wrote the notes in it"))
    add_path(show, "file", tr("the archive to look into"))
    add_speech_options(show)
    show.set_defaults(run=_show)
    there = tr("the library (default {path})"), tr("the library, made if missing (default {path})")
    for each, act, words in ((save, _save, there[0]), (take, _take, there[1])):
        words = words.format(path=library_path())
        add_path(each, "--library", literally(words))
        add_speech_options(each)
        each.set_defaults(run=act)


def _save(options: argparse.Namespace) -> None:
    place = options.library or library_path()
    check_outputs([options.file], [place])
    if options.file.exists() and not options.file.is_file():
        raise UserError(
            tr("{path} is a pipe or a device; an archive needs a file.").format(path=options.file)
        )
    with Library.open(place) as library:
        athlete = athlete_of(library, options.athlete)
        print(archive_words(write_archive(library, athlete.identity, options.file), options.file))


def _show(options: argparse.Namespace) -> None:
    _check_file(options)
    with open_archive(options.file) as opened:
        held = opened.archive
    lines = [
        change_words(each)
        for one in held.outings
        for each in brought(one.outing, True, (), [note for note in one.notes if not note.deleted])
    ]
    outings = trn("{count} outing", "{count} outings", len(held.outings)).format(count=len(held.outings))
    bands = trn("{n} band", "{n} bands", len(held.bands)).format(n=len(held.bands))
    print(f"{held.athlete.name}: {outings}, {bands}")
    for line in aligned_lines([(outing, text) for outing, text in lines], left=(0, 1), indent="  "):
        print(line)


def _check_file(options: argparse.Namespace) -> None:
    if not options.file.exists():
        raise UserError(tr("There is no file or folder {path}.").format(path=options.file))
    if options.file.is_dir():
        raise UserError(tr("{path} is a folder; give the name of a file.").format(path=options.file))


def _take(options: argparse.Namespace) -> None:
    _check_file(options)
    with Library.open_or_create(options.library or library_path()) as library:
        merge = merge_archive(library, options.file)
        print(merge_words(merge))
        for line in aligned_lines([change_words(each) for each in merge.brought], left=(0, 1), indent="  "):
            print(line)
        recompute(library, merge.athlete, few_here=True)
