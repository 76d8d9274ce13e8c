"""``slopebeat files``: every file the program keeps for itself, listed or, with ``--remove``, taken away."""

from __future__ import annotations

import argparse
import os
import sqlite3
import sys
from collections.abc import Sequence
from contextlib import closing, suppress
from pathlib import Path

import platformdirs

from slopebeat.command.common import add_switch
from slopebeat.command.desktop import installed
from slopebeat.command.desktop import remove as remove_entry
from slopebeat.command.speech import add_speech_options
from slopebeat.disk.leftovers import is_alive
from slopebeat.disk.places import FoundFile, found_files, library_path, remove_empty_folders, running_folder
from slopebeat.library.connections import connect
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import figure
from slopebeat.review.present.figure import aligned_lines

EXIT_LEFT = 1

KINDS = {
    "running": mark("what is open just now"),
    "unfinished": mark("files that were never finished"),
    "desktop": mark("entry in the menus of the desktop"),
    "settings": mark("settings and notes begun"),
    "log": mark("logs of unexpected ends"),
    "demo": mark("library of the demo outings"),
    "notebooks": mark("notes kept by an earlier version"),
    "copy": mark("copies of the library made before a change"),
    "library": mark("library"),
}
"""What each kind of file is."""

LIBRARY_KINDS = ("notebooks", "copy", "library")
"""What ``--keep-library`` leaves."""

MEGABYTE = 1e6


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "List every file the program keeps for itself on this computer: library, settings, logs and menu "
        "entry. Recordings, and files you named yourself, are not among them and are never touched."
    )
    add_switch(parser, "--remove", tr("remove them, after asking"))
    add_switch(parser, "--keep-library", tr("leave the library and its copies where they are"))
    add_switch(parser, "--yes", tr("do not ask"))
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int | None:
    """Carry out ``slopebeat files``; the exit status where it is not 0."""
    own = _own(options.keep_library)
    print(files_listed(own, [each for each in found_files() if not each.kind]))
    if not options.remove or not own:
        return None
    _refuse_while_running()
    if not options.yes and not _agreed(own):
        print(tr("Nothing was removed."))
        return None
    # Looked at anew: what was open may have left something since.
    return _remove(_own(options.keep_library))


def _own(keep_library: bool) -> list[FoundFile]:
    entry = [FoundFile(path, "desktop", path.stat().st_size) for path in installed()]
    own = [each for each in found_files() if each.kind] + entry
    return [each for each in own if not (keep_library and each.kind in LIBRARY_KINDS)]


def files_listed(own: Sequence[FoundFile], others: Sequence[FoundFile]) -> str:
    """What was found, kind by kind, and what stays."""
    if not own:
        lines = [tr("The program keeps no file of its own on this computer.")]
    else:
        rows = [(tr(KINDS[each.kind]), _megabytes(each.size_bytes), str(each.path)) for each in own]
        lines = [tr("The program keeps for itself:"), *aligned_lines(rows, left=(0, 2), indent="  ")]
    stays = [str(each.path) for each in others] + [str(path) for path in _shared()]
    if stays:
        lines += [tr("Not written by this program, or shared with others, so it stays:")]
        lines += [f"  {path}" for path in stays]
    lines.append(tr("Recordings, and files you named yourself, are yours: none is listed here or removed."))
    return "\n".join(lines)


def _megabytes(size_bytes: int) -> str:
    return tr("{size} MB").format(size=figure(size_bytes / MEGABYTE, 3))


def _shared() -> list[Path]:
    """Where Qt's own file dialog remembers its last folder, for every program that uses it."""
    path = platformdirs.user_config_path() / "QtProject.conf"
    return [path] if path.is_file() else []


def _refuse_while_running() -> None:
    for lock in running_folder().glob("*.lock"):
        with suppress(OSError, ValueError, IndexError):
            # The process is the first line of a lock (QLockFile, documentation of getLockInfo).
            process = int(lock.read_text(encoding="utf-8").splitlines()[0])
            if os.name == "posix" and is_alive(process):
                raise UserError(tr("The program is open in a window; close it first."))


def _agreed(own: Sequence[FoundFile]) -> bool:
    if any(each.kind == "library" for each in own):
        print(_library_sentence())
    if not sys.stdin.isatty():
        raise UserError(tr("Nothing is removed without being asked; give --yes where nobody can answer."))
    print(tr("Remove all of these files for good? Type yes:"), end=" ", flush=True)
    return sys.stdin.readline().strip().casefold() in ("yes", tr("yes").casefold())


def _library_sentence() -> str:
    """What goes with the library."""
    try:
        with closing(connect(library_path(), read_only=True)) as library:
            count = int(library.execute("SELECT count(*) FROM outing").fetchone()[0])
    except (sqlite3.Error, OSError, UserError):
        return tr("The library cannot be opened; what it holds goes with it.")
    text = trn(
        "The library holds {n} outing with the recording kept of it, which goes with it; save it before "
        "with: slopebeat library backup",
        "The library holds {n} outings with the recordings kept of them, which go with it; save it before "
        "with: slopebeat library backup",
        count,
    )
    return text.format(n=count)


def _remove(own: Sequence[FoundFile]) -> int | None:
    left = []
    for each in own:
        if each.kind == "desktop":
            continue
        try:
            each.path.unlink(missing_ok=True)
        except OSError as problem:
            left.append(
                tr("{path} cannot be removed: {reason}.").format(path=each.path, reason=problem.strerror)
            )
    if any(each.kind == "desktop" for each in own):
        remove_entry()
    with suppress(OSError):
        remove_empty_folders()
    if left:
        print(*left, sep="\n", file=sys.stderr)
        return EXIT_LEFT
    text = trn("{n} file was removed.", "{n} files were removed.", len(own)).format(n=len(own))
    print(text, tr("The program itself goes when you delete its folder or uninstall its package."))
    return None
