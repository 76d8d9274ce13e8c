"""Notes on outings, which can be carried between libraries and merged."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated

from msgspec import Meta

from slopebeat.library.connections import Connections
from slopebeat.library.moments import from_us, to_us
from slopebeat.library.sound import checked, shown
from slopebeat.model import notes as model
from slopebeat.model.codec import Instant
from slopebeat.model.message import Message, message


@dataclass(frozen=True)
class Note:
    """Something said about an outing.

    Attributes
    ----------
    identity : a UUID in text, the same in every library the note is carried to. outing : identity.
    time_utc : the moment it is about. kind, author_role : words of whoever writes notes.
    value : a number that goes with it, None without one.
    start_s, end_s : the stretch of the outing it is about, in seconds from the first record; None: all of it.
    created_utc, changed_utc : when it was written and last changed. deleted_utc : when it was taken back; it
        is kept, so that merging with an older copy does not bring it back.
    """

    identity: str
    outing: str
    time_utc: Instant
    kind: str
    author_role: str
    text: str
    created_utc: Instant
    changed_utc: Instant
    value: float | None = None
    start_s: Annotated[float, Meta(ge=0.0)] | None = None
    end_s: Annotated[float, Meta(ge=0.0)] | None = None
    deleted_utc: Instant | None = None


@dataclass(frozen=True)
class Merged:
    """What merging did: notes that are new here, replaced by a later state, left as they were, without an
    outing here."""

    added: int = 0
    replaced: int = 0
    unchanged: int = 0
    without_outing: int = 0


ROW_COLUMNS = "identity, kind, author_role, text, created_us, changed_us, value, start_s, end_s, deleted_us"
"""Of a note, wherever it is kept."""


def row_of_note(note: model.Note) -> tuple[str | int | float | None, ...]:
    """The values of :data:`ROW_COLUMNS`; kinds and authors by name, because their words may change."""
    deleted = None if note.deleted_utc is None else to_us(note.deleted_utc)
    return (
        *(note.identity, note.kind.name, note.author.name, note.text),
        *(to_us(note.created_utc), to_us(note.changed_utc), note.value, note.start_s, note.end_s, deleted),
    )


def note_of_row(row: sqlite3.Row) -> model.Note:
    """The note of a row whose first columns are :data:`ROW_COLUMNS`; any of ``UNREADABLE`` when damaged."""
    identity, kind, author, text, created, changed, value, start_s, end_s, deleted = row[:10]
    return checked(
        model.Note(
            *(identity, model.NoteKind[kind], model.Author[author], text, from_us(created), from_us(changed)),
            *(value, start_s, end_s, None if deleted is None else from_us(deleted)),
        )
    )


_COLUMNS = (
    "identity, outing, time_us, kind, author_role, text, created_us, changed_us, value, start_s, end_s, "
    "deleted_us"
)


class NoteTable:
    """The notes of a library."""

    def __init__(self, connections: Connections) -> None:
        self._connections = connections

    def of(self, outing: str, deleted: bool = False) -> tuple[Note, ...]:
        """Notes on an outing by the moments they are about; with ``deleted`` also those taken back."""
        query = f"SELECT {_COLUMNS} FROM note WHERE outing = ? ORDER BY time_us, created_us, identity"
        with self._connections.reading() as connection:
            rows = connection.execute(query, (outing,)).fetchall()
        notes = self._connections.damage.readable(rows, _note, lost_note)
        return tuple(note for note in notes if deleted or note.deleted_utc is None)

    def by_outing(self, athlete: str, kinds: Sequence[str]) -> dict[str, tuple[Note, ...]]:
        """Notes of some kinds on all outings of an athlete, without those taken back."""
        columns = ", ".join(f"note.{name}" for name in _COLUMNS.split(", "))
        query = (
            f"SELECT {columns} FROM note JOIN outing ON outing.identity = note.outing WHERE athlete = ? "
            f"AND deleted_us IS NULL AND kind IN ({', '.join('?' * len(kinds))}) "
            "ORDER BY note.created_us, note.identity"
        )
        found: dict[str, list[Note]] = {}
        with self._connections.reading() as connection:
            rows = connection.execute(query, (athlete, *kinds)).fetchall()
        for note in self._connections.damage.readable(rows, _note, lost_note):
            found.setdefault(note.outing, []).append(note)
        return {outing: tuple(notes) for outing, notes in found.items()}

    def put(self, note: Note) -> None:
        """Keep a note; one of the same identity is replaced."""
        with self._connections.writing() as connection:
            _put(connection, note)

    def delete(self, identity: str, when: datetime) -> None:
        """Take a note back; KeyError when there is none of this identity."""
        with self._connections.writing() as connection:
            note = _get(connection, identity)
            if note is None:
                raise KeyError(identity)
            _put(connection, replace(note, deleted_utc=when, changed_utc=when))

    def merge(self, notes: Iterable[Note]) -> Merged:
        """Bring in notes from elsewhere: of two states of one note the later change holds."""
        counts = {"added": 0, "replaced": 0, "unchanged": 0, "without_outing": 0}
        with self._connections.writing() as connection:
            for note in notes:
                counts[_merge_one(connection, note)] += 1
        return Merged(**counts)


def _merge_one(connection: sqlite3.Connection, note: Note) -> str:
    here = _get(connection, note.identity)
    if here is not None and here.changed_utc >= note.changed_utc:
        return "unchanged"
    if connection.execute("SELECT 1 FROM outing WHERE identity = ?", (note.outing,)).fetchone() is None:
        return "without_outing"
    _put(connection, note)
    return "added" if here is None else "replaced"


def _get(connection: sqlite3.Connection, identity: str) -> Note | None:
    row = connection.execute(f"SELECT {_COLUMNS} FROM note WHERE identity = ?", (identity,)).fetchone()
    return None if row is None else _note(row)


def _put(connection: sqlite3.Connection, note: Note) -> None:
    values = (
        *(note.identity, note.outing, to_us(note.time_utc), note.kind, note.author_role, note.text),
        *(to_us(note.created_utc), to_us(note.changed_utc), note.value, note.start_s, note.end_s),
        None if note.deleted_utc is None else to_us(note.deleted_utc),
    )
    places = ", ".join("?" * len(values))
    connection.execute(f"INSERT OR REPLACE INTO note ({_COLUMNS}) VALUES ({places})", values)


def _note(row: sqlite3.Row) -> Note:
    values = list(row)
    for at in (2, 6, 7):
        values[at] = from_us(values[at])
    values[11] = None if values[11] is None else from_us(values[11])
    return checked(Note(*values))


def lost_note(row: sqlite3.Row) -> Message:
    """What is said of a note that cannot be read, by its text."""
    return message("library.lost_note", text=shown(row["text"]))
