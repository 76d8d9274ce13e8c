"""``slopebeat library backup|check|restore``: a copy of a library, a look for damage, the copy back."""

from __future__ import annotations

import argparse
import sys

from slopebeat.command.common import add_path, add_switch
from slopebeat.command.speech import add_speech_options, literally
from slopebeat.disk.places import library_path
from slopebeat.library.faults import DamagedOriginals
from slopebeat.library.store import Library, check_backup_target, restore
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.review.words.messages import say

EXIT_DAMAGED = 1


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr("Save a backup of a library, look for damage in it, or restore it from a backup.")
    acts = parser.add_subparsers(dest="act", required=True, metavar=tr("command"))
    backup = acts.add_parser("backup", help=tr("copy the whole library into one file"))
    add_path(backup, "file", tr("the backup to write"))
    check = acts.add_parser("check", help=tr("look for damage; 1 is returned where there is some"))
    back = acts.add_parser("restore", help=tr("put a backup in the place of the library"))
    add_path(back, "file", tr("the backup to restore"))
    add_switch(back, "--although-damaged", tr("restore also a backup that holds damaged original files"))
    place = tr("the library (default {path})").format(path=library_path())
    for each, act in ((backup, _backup), (check, _check), (back, _restore)):
        add_path(each, "--library", literally(place))
        add_speech_options(each)
        each.set_defaults(run=act)


def _backup(options: argparse.Namespace) -> None:
    place = options.library or library_path()
    check_backup_target(options.file, place)
    with Library.open(place) as library:
        library.backup(options.file)
    print(tr("The library was saved in {path}.").format(path=options.file))


def _check(options: argparse.Namespace) -> int | None:
    place = options.library or library_path()
    with Library.open(place) as library:
        problems = library.check(files=True)
    print("\n".join(map(say, problems)) or tr("The library is whole: {path}.").format(path=place))
    return EXIT_DAMAGED if problems else None


def _restore(options: argparse.Namespace) -> None:
    place = options.library or library_path()
    try:
        kept = restore(options.file, place, options.although_damaged)
    except DamagedOriginals as damaged:
        print("\n".join(map(say, damaged.names)), file=sys.stderr)
        way_out = tr("To restore it all the same, give --although-damaged.")
        raise UserError(f"{damaged} {way_out}") from damaged
    print(tr("The library {path} was restored from {backup}.").format(path=place, backup=options.file))
    if kept is not None:
        print(tr("What was there before is kept as {path}.").format(path=kept))
