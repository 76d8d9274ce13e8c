"""What was written and decided on recordings that are in no library: one small file for each.

A notebook belongs to the content of a file, not to its name, so it is found again wherever the file is moved.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import platformdirs

from slopebeat.disk.writing import write_whole
from slopebeat.library.copies import kept_name
from slopebeat.library.outings import marks_of, marks_text
from slopebeat.library.sound import UNREADABLE, checked
from slopebeat.model.codec import decode, plain
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note, merge_notes, note_from_values

VERSION = 1
"""Of the layout of a notebook."""


class NotebookFault(UserError):
    """A notebook cannot be read or written; the sentence says why."""


@dataclass(frozen=True)
class ContentKey:
    """An activity of a file: SHA-256 of the file's bytes, and which activity in it, from 0."""

    content_hash: str
    activity: int


@dataclass(frozen=True)
class Notebook:
    """What was written and decided on one recording; None where nothing was decided.

    Attributes
    ----------
    notes : those taken back among them. load : kg, and until how many seconds from the start, or throughout.
    """

    notes: tuple[Note, ...] = ()
    marks: tuple[Mark, ...] | None = None
    load: tuple[float, float | None] | None = None
    title: str | None = None

    @property
    def empty(self) -> bool:
        return self == Notebook()


def default_folder() -> Path:
    """Where notebooks are kept: beside the library at its default place."""
    return platformdirs.user_data_path("slopebeat", appauthor=False) / "notebooks"


class Notebooks:
    """A folder of notebooks, made when the first is written."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or default_folder()

    def path(self, key: ContentKey) -> Path:
        return self.folder / f"{key.content_hash}-{key.activity}.json"

    def read(self, key: ContentKey) -> tuple[Notebook, str]:
        """The notebook, empty where there is none, and a sentence where there was a damaged one.

        A damaged notebook is set aside under another name, so that what can be saved of it is not lost.

        Raises
        ------
        NotebookFault
            When it cannot be read or is of a later version; it is then as it was.
        """
        path = self.path(key)
        try:
            text = path.read_bytes()
        except FileNotFoundError:
            return Notebook(), ""
        except OSError as problem:
            raise _fault(path, problem) from problem
        try:
            return checked(_from_values(decode(text, dict[str, Any]), path)), ""
        except NotebookFault:
            raise
        except UNREADABLE:
            aside = kept_name(path, "damaged")
            try:
                os.replace(path, aside)
            except OSError as problem:
                raise _fault(path, problem) from problem
            return Notebook(), tr(
                "The notes kept on this recording are damaged; they were set aside as {path} and a new "
                "notebook was begun."
            ).format(path=aside)

    def write(self, key: ContentKey, book: Notebook) -> None:
        """Keep a notebook; when this returns it is on the disk, whatever happens next.

        Notes another window has written meanwhile are kept as well.

        Raises
        ------
        NotebookFault
            When it cannot be written; what was there is then as it was.
        """
        there, _ = self.read(key)
        notes = merge_notes(there.notes, book.notes)
        values = {
            "version": VERSION,
            "content_hash": key.content_hash,
            "activity": key.activity,
            "notes": plain(notes),
            "marks": None if book.marks is None else json.loads(marks_text(book.marks)),
            "load": None if book.load is None else list(book.load),
            "title": book.title,
        }
        path = self.path(key)
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            write_whole(path, json.dumps(values, indent=1, allow_nan=False).encode())
        except UserError as problem:
            raise NotebookFault(str(problem)) from problem
        except OSError as problem:
            raise _fault(path, problem) from problem

    def remove(self, key: ContentKey) -> None:
        """Forget a notebook, if there is one."""
        try:
            self.path(key).unlink(missing_ok=True)
        except OSError as problem:
            raise _fault(self.path(key), problem) from problem


def _from_values(values: Any, path: Path) -> Notebook:
    if values["version"] > VERSION:
        raise NotebookFault(
            tr(
                "The notes on this recording were written by a later version of this program. Update the "
                "program to read {path}; nothing was changed."
            ).format(path=path)
        )
    load = values["load"]
    if load is not None and not (isinstance(load, list) and len(load) == 2):
        raise TypeError("a load is kilograms and until when")
    title = values["title"]
    if not (title is None or isinstance(title, str)):
        raise TypeError("a title is text")
    return Notebook(
        tuple(note_from_values(each) for each in values["notes"]),
        None if values["marks"] is None else marks_of(json.dumps(values["marks"])),
        None if load is None else (float(load[0]), None if load[1] is None else float(load[1])),
        title,
    )


def _fault(path: Path, problem: OSError) -> NotebookFault:
    reason = problem.strerror or type(problem).__name__
    return NotebookFault(
        tr("The notes on this recording cannot be kept in {path}: {reason}.").format(path=path, reason=reason)
    )
