"""The small JSON files in which earlier versions kept what was written on recordings outside a library."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slopebeat.disk.reading import open_regular
from slopebeat.library.copies import kept_name
from slopebeat.library.faults import LibraryFault
from slopebeat.library.integrity import UNREADABLE, checked
from slopebeat.library.notes import NotebookTable
from slopebeat.library.outings import marks_of
from slopebeat.model.codec import decode, encode
from slopebeat.model.errors import UserError
from slopebeat.model.message import Message, message
from slopebeat.model.notes import note_from_values
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.model.recording import content_hash

VERSION = 1
"""The only layout such a file ever had."""

TAKEN_IN = "taken in"
"""Name of the folder, among them, for those that were taken in."""

_NAME = re.compile(r"([0-9a-f]{64})-(\d{1,9})\.json")


@dataclass(frozen=True)
class _Version:
    version: int


@dataclass(frozen=True)
class _File:
    """The layout of such a file."""

    notes: tuple[dict[str, Any], ...]
    marks: list[Any] | None
    load: tuple[float, float | None] | None
    title: str | None


class NotebookFault(UserError):
    """A notebook cannot be read or written; the sentence says why."""


def file_of(folder: Path, key: ContentKey) -> Path:
    """Where an earlier version kept a notebook."""
    return folder / f"{key.content_hash}-{key.activity}.json"


def waiting(folder: Path) -> tuple[Path, ...]:
    """The notebooks still in files of their own, those that cannot be taken in among them."""
    try:
        return tuple(sorted(path for path in folder.iterdir() if _NAME.fullmatch(path.name)))
    except (FileNotFoundError, NotADirectoryError):
        return ()


def take_in_all(table: NotebookTable, folder: Path) -> None:
    """Bring every sound file in and set it aside; of the others :func:`refused` tells."""
    for path in waiting(folder):
        found = _NAME.fullmatch(path.name)
        assert found is not None
        try:
            text = _text(path)
            book = _book(text, path)
        except (OSError, *UNREADABLE):
            continue
        key = ContentKey(found[1], int(found[2]))
        table.take_in(key, book, path.name, content_hash(text))
        with suppress(OSError):  # Once it is in it is not taken in again, wherever its file lies.
            aside = path.parent / TAKEN_IN / path.name
            aside.parent.mkdir(mode=0o700, exist_ok=True)
            os.replace(path, kept_name(aside, "older") if aside.exists() else aside)


def refused(folder: Path, key: ContentKey) -> tuple[Message, ...]:
    """What is said of the file of a recording that could not be taken in; empty where there is none.

    A damaged one is set aside under another name, so that what can be saved of it is not lost.

    Raises
    ------
    NotebookFault
        When it cannot be read or is of a later version; it is then as it was.
    """
    path = file_of(folder, key)
    try:
        _book(_text(path), path)
    except (FileNotFoundError, NotADirectoryError):
        return ()
    except NotebookFault:
        raise
    except OSError as problem:
        raise _fault(path, problem) from problem
    except UNREADABLE:
        aside = kept_name(path, "damaged")
        try:
            os.replace(path, aside)
        except OSError as problem:
            raise _fault(path, problem) from problem
        return (message("notebook.damaged", path=aside),)
    return ()


def forget(folder: Path, key: ContentKey) -> None:
    """Remove every file on a recording, also those set aside."""
    path = file_of(folder, key)
    try:
        for each in (*folder.glob(f"{path.stem}.*"), *(folder / TAKEN_IN).glob(f"{path.stem}.*")):
            each.unlink(missing_ok=True)
    except OSError as problem:
        raise _fault(path, problem) from problem


def _text(path: Path) -> bytes:
    with open_regular(path) as stream:
        return stream.read()


def _book(text: bytes, path: Path) -> Notebook:
    """The notebook; any of ``UNREADABLE`` when it is damaged, NotebookFault when it is of a later version."""
    if decode(text, _Version).version > VERSION:
        raise NotebookFault(message("notebook.later_version", path=path))
    kept = decode(text, _File)
    try:
        marks = None if kept.marks is None else marks_of(encode(kept.marks))
    except LibraryFault as unknown:  # a mark of a later version, whose file is no damaged one
        raise NotebookFault(str(unknown)) from unknown
    notes = tuple(note_from_values(each) for each in kept.notes)
    return checked(Notebook(notes, marks, kept.load, kept.title))


def _fault(path: Path, problem: OSError) -> NotebookFault:
    reason = problem.strerror or type(problem).__name__
    return NotebookFault(message("notebook.not_kept", path=path, reason=reason))
