"""Notes on the outing on screen: each change is one act that can be undone; what is unfinished is kept."""

from __future__ import annotations

import logging
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from slopebeat.disk.reading import open_regular
from slopebeat.disk.writing import write_whole
from slopebeat.model.codec import Finite, convert, encode, parse, to_builtins
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Author, Note, NoteKind, merge_notes, present
from slopebeat.session.small_files import damaged_name
from slopebeat.session.undo import Change, History

if TYPE_CHECKING:
    from slopebeat.session.outing.outing import OpenOuting

Draft = tuple[float, float | None]
"""Where a note is being written: a moment, or a range from its first to its last second."""


class Notes(QObject):
    """The notes of the outing that is chosen.

    ``changed`` says other notes are there, ``draft_changed`` that the place for a new one was moved,
    ``failed`` why something could not be kept.
    """

    changed = Signal()
    author_changed = Signal()
    draft_changed = Signal()
    failed = Signal(str)

    def __init__(self, outing: OpenOuting, history: History, author: Author = Author.ATHLETE) -> None:
        super().__init__(outing)
        self._outing = outing
        self._history = history
        self._shown: tuple[Note, ...] = ()
        self._author = author
        self.draft: Draft | None = None
        outing.notes_changed.connect(self._show)
        outing.chosen.connect(self._start)

    @property
    def all(self) -> tuple[Note, ...]:
        """The notes that are there, in order of place and time."""
        return self._shown

    @property
    def every(self) -> tuple[Note, ...]:
        """The same with those that were taken back."""
        return self._outing.notes

    @property
    def author(self) -> Author:
        """The role that is writing now."""
        return self._author

    @author.setter
    def author(self, author: Author) -> None:
        if author is not self._author:
            self._author = author
            self.author_changed.emit()

    def add(self, note: Note) -> None:
        """Keep a new note; its identity must be new as well."""
        self._do(tr("note"), note.identity, None, note)

    def edit(self, note: Note, **changes: Any) -> None:
        """Change some fields of a note.

        Raises
        ------
        UserError
            With a sentence, when it would no longer hold what its kind needs; nothing is changed then.
        """
        before = self._now(note.identity)
        after = replace(before, **changes)
        if after != before:
            self._do(tr("change of a note"), note.identity, before, after)

    def take_back(self, note: Note) -> None:
        """Take a note back; it can be brought back by undoing."""
        before = self._now(note.identity)
        self._do(tr("removal of a note"), note.identity, before, None)

    def begin(self, t_s: float) -> None:
        """A note is about this moment, or about the range that begins here."""
        self._set_draft((max(t_s, 0.0), None))

    def end(self, t_s: float) -> None:
        """The range ends here, whichever end was named first; without a beginning nothing happens."""
        if self.draft is not None:
            self.set_draft(self.draft[0], t_s)

    def set_draft(self, start_s: float, end_s: float | None = None) -> None:
        """Place the note that is being written; a range without length is a moment."""
        start = max(start_s, 0.0)
        if end_s is None or max(end_s, 0.0) == start:
            self._set_draft((start, None))
        else:
            end = max(end_s, 0.0)
            self._set_draft((min(start, end), max(start, end)))

    def drop_draft(self) -> None:
        self._set_draft(None)

    def bring_to(self, identity: str, content: Note | None) -> None:
        """Give a note this content, or take it back; what is written last counts as changed last.

        Even going back to earlier content is a change: an older copy elsewhere must not undo it.
        """
        here = next((note for note in self.every if note.identity == identity), None)
        when = datetime.now(UTC)
        if here is None:
            fresh = content
        elif content is None:
            fresh = here if here.deleted else here.taken_back(when)
        else:
            fresh = replace(content, changed_utc=here.changed_utc, deleted_utc=None).edited(when)
        if fresh is not None:
            self._outing.set_notes(merge_notes(self.every, (fresh,)))

    def _now(self, identity: str) -> Note:
        return next(note for note in self._shown if note.identity == identity)

    def _do(self, words: str, identity: str, before: Note | None, after: Note | None) -> None:
        """Give a note other content, None where it is not there."""
        if self._outing.index >= 0:
            self._history.do(Change(words, before, after, partial(self.bring_to, identity)))

    def _set_draft(self, draft: Draft | None) -> None:
        if draft != self.draft:
            self.draft = draft
            self.draft_changed.emit()

    def _start(self) -> None:
        self.drop_draft()
        self._show()

    def _show(self) -> None:
        self._shown = present(self._outing.notes)
        self.changed.emit()


FILE_NAME = "unfinished_notes.json"
"""Name of the file beside the settings."""

_log = logging.getLogger(__name__)

Key = tuple[str, str, str]
"""File name and start of the outing (ISO 8601), and the identity of the note; empty for a new one."""


@dataclass(frozen=True)
class Written:
    """What stands in the fields of a note; an empty place is the whole outing."""

    kind: NoteKind = NoteKind.REMARK
    value: Finite | None = None
    author: Author = Author.ATHLETE
    place: str = ""
    text: str = ""

    @property
    def has_content(self) -> bool:
        """Whether there are words or a number."""
        return bool(self.text.strip()) or self.value is not None


@dataclass(frozen=True)
class _About:
    """A :data:`Key` as kept."""

    outing: tuple[str, str]
    note: str


class UnfinishedNotes:
    """A small JSON file; what is damaged in it is set aside."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / FILE_NAME

    def read(self) -> dict[Key, Written]:
        """What waits; empty where nothing does."""
        try:
            with open_regular(self._file) as stream:
                entries = convert(parse(stream.read().decode("utf-8")), list[dict[str, Any]])
            return dict(map(_entry, entries))
        except FileNotFoundError:
            return {}
        except (OSError, UserError) as problem:
            _log.info("%s not readable: %s", self._file, problem)
        except ValueError as problem:
            self._set_aside(problem)
        return {}

    def write(self, mine: Mapping[Key, Written], done: set[Key]) -> None:
        """Keep these; of what others wrote meanwhile all stays that is not among ``done``.

        Raises
        ------
        UserError
            With a sentence, when it cannot be written; what was there is then as it was.
        """
        there = self.read()
        now = {key: written for key, written in there.items() if key not in done} | dict(mine)
        if now == there:
            return
        with suppress(OSError):  # else the writing says why
            self._file.parent.mkdir(parents=True, exist_ok=True)
        entries = [to_builtins(_About(key[:2], key[2])) | to_builtins(one) for key, one in now.items()]
        write_whole(self._file, encode(entries, indent=1).encode("utf-8"))

    def _set_aside(self, problem: Exception) -> None:
        name = damaged_name(self._file)
        with suppress(OSError):
            os.replace(self._file, name)
        _log.warning("unfinished notes: damaged (%s), the file is now %s", problem, name)


def _entry(values: Any) -> tuple[Key, Written]:
    """One entry read back; :class:`Undecodable` when it is damaged."""
    about = convert(values, _About)
    return (*about.outing, about.note), convert(values, Written)
