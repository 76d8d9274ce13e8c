"""Notes on outings, which can be carried between libraries and merged.

What was written and decided on recordings that are kept as no outing is a notebook: rows by content.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from slopebeat.library.connections import LibraryTable
from slopebeat.library.faults import LibraryFault
from slopebeat.library.integrity import YEARS, checked, from_us, lost, shown, to_us
from slopebeat.library.outings import StoredOuting, marks_text, readable_marks
from slopebeat.model.message import message
from slopebeat.model.notes import (
    Author,
    Note,
    NoteKind,
    merge_notes,
    present,
    sport_from_notes,
    utc_offset_from_notes,
)
from slopebeat.model.outing.notebooks import ContentKey, Notebook


def where_noted(outing: StoredOuting, notes: Iterable[Note]) -> StoredOuting:
    """The outing in the time zone its notes say, if one does, and with the sport.

    Which day it is of hangs on the one, and on the other whether the band on foot or on a bike is in force.
    """
    here = tuple(notes)
    utc_offset_s, sport = utc_offset_from_notes(here), sport_from_notes(here)
    if utc_offset_s is not None:
        outing = replace(outing, utc_offset_s=utc_offset_s)
    return outing if sport is None else replace(outing, sport=str(sport), on_bike=sport.on_bike)


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


EARLIER_KINDS = {"RPE": "EFFORT"}
"""Other names of kinds: the first layout of a library took any word for one."""


def row_of_note(note: Note) -> tuple[str | int | float | None, ...]:
    """The values of :data:`ROW_COLUMNS`; kinds and authors by name, because their words may change."""
    deleted = None if note.deleted_utc is None else to_us(note.deleted_utc)
    return (
        *(note.identity, note.kind.name, note.author.name, note.text),
        *(to_us(note.created_utc), to_us(note.changed_utc), note.value, note.start_s, note.end_s, deleted),
    )


def note_of_row(row: sqlite3.Row) -> Note:
    """The note of a row whose first columns are :data:`ROW_COLUMNS`; any of ``UNREADABLE`` when damaged."""
    identity, kind, author, text, created, changed, value, start_s, end_s, deleted = row[:10]
    try:
        known = NoteKind[EARLIER_KINDS.get(kind, kind)], Author[author]
    except KeyError as unknown:
        raise LibraryFault(message("library.unknown_note", kind=shown(unknown.args[0]))) from None
    return checked(
        Note(
            *(identity, *known, text, from_us(created), from_us(changed)),
            *(value, start_s, end_s, None if deleted is None else from_us(deleted)),
        )
    )


lost_note = lost("library.lost_note", text="text")
"""What is said of a note that cannot be read, by its text."""


class NoteTable(LibraryTable):
    """The notes of a library."""

    def of(self, outing: str, deleted: bool = False) -> tuple[Note, ...]:
        """Notes on an outing in order of place and time; with ``deleted`` also those taken back."""
        query = f"SELECT {ROW_COLUMNS} FROM note WHERE outing = ?"
        notes = self._readable(query, (outing,), note_of_row, lost_note)
        return merge_notes(notes) if deleted else present(notes)

    def by_outing(self, athlete: str, kinds: Collection[NoteKind]) -> dict[str, tuple[Note, ...]]:
        """Notes of some kinds on all outings of an athlete, without those taken back."""
        columns = ", ".join(f"note.{name}" for name in ROW_COLUMNS.split(", "))
        query = (
            f"SELECT {columns}, outing FROM note JOIN outing ON outing.identity = note.outing "
            f"WHERE athlete = ? AND deleted_us IS NULL AND kind IN ({', '.join('?' * len(kinds))}) "
            "ORDER BY note.created_us, note.identity"
        )
        values = (athlete, *(kind.name for kind in kinds))
        found: dict[str, list[Note]] = {}
        for outing, note in self._readable(
            query, values, lambda row: (row["outing"], note_of_row(row)), lost_note
        ):
            found.setdefault(outing, []).append(note)
        return {outing: tuple(notes) for outing, notes in found.items()}

    def merge(self, outing: str, notes: Iterable[Note]) -> Merged:
        """Keep notes on an outing: of two states of one note the later change holds."""
        with self._connections.writing() as connection:
            return Merged(**Counter(self._merge_one(connection, outing, note) for note in notes))

    def _merge_one(self, connection: sqlite3.Connection, outing: str, note: Note) -> str:
        query = f"SELECT {ROW_COLUMNS} FROM note WHERE identity = ?"
        rows = connection.execute(query, (note.identity,)).fetchall()
        here = self._connections.damage.readable(rows, note_of_row, lost_note)
        if here and merge_notes(here, (note,)) == tuple(here):
            return "unchanged"
        taken_back = note.deleted and all(each.deleted for each in here)
        values = row_of_note(note)
        kept = connection.execute(
            f"INSERT OR REPLACE INTO note ({ROW_COLUMNS}, outing, time_us) "
            f"SELECT {', '.join('?' * len(values))}, identity, start_us + ? FROM outing WHERE identity = ?",
            (*values, round(1e6 * (note.start_s or 0.0)), outing),
        )
        if not kept.rowcount:
            return "without_outing"
        if taken_back:
            return "unchanged"  # It is kept, so that no older copy brings it back, but nobody sees it.
        return "replaced" if rows else "added"


class NotebookTable(LibraryTable):
    """The notebooks in a library."""

    def read(self, key: ContentKey) -> Notebook:
        """The notebook, empty where there is none; what is damaged in it is left out and named."""
        with self._connections.reading() as connection:
            return self._read(connection, key)

    def write(self, key: ContentKey, book: Notebook) -> None:
        """Keep a notebook; notes another window has written meanwhile are kept as well."""
        with self._connections.writing() as connection:
            self._put(connection, key, book)

    def take_in(self, key: ContentKey, book: Notebook, file_name: str, file_hash: str) -> None:
        """Bring in what a file of an earlier version holds, once; what was decided here since goes first."""
        with self._connections.writing() as connection:
            values = (file_name, file_hash)
            if connection.execute("INSERT OR IGNORE INTO taken_notebook VALUES (?, ?)", values).rowcount:
                here = self._read(connection, key)
                marks = book.marks if here.marks is None else here.marks
                load = book.load if here.load is None else here.load
                title = book.title if here.title is None else here.title
                self._put(connection, key, Notebook(book.notes, marks, load, title))

    def remove(self, key: ContentKey) -> None:
        """Forget a notebook with its notes, if there is one."""
        self._write("DELETE FROM notebook WHERE content_hash = ? AND activity = ?", *_values(key))

    def _read(self, connection: sqlite3.Connection, key: ContentKey) -> Notebook:
        query = (
            "SELECT marks, load_kg, load_until_s, title FROM notebook WHERE content_hash = ? AND activity = ?"
        )
        row = connection.execute(query, _values(key)).fetchone()
        if row is None:
            return Notebook()
        damage = self._connections.damage
        marks = None if row["marks"] is None else readable_marks(damage, row["marks"])
        (decided,) = damage.readable([row], _decided, lost("notebook.lost_decisions")) or [Notebook()]
        return Notebook(self._notes(connection, key), marks, decided.load, decided.title)

    def _notes(self, connection: sqlite3.Connection, key: ContentKey) -> tuple[Note, ...]:
        query = f"SELECT {ROW_COLUMNS} FROM notebook_note WHERE content_hash = ? AND activity = ?"
        rows = connection.execute(query, _values(key)).fetchall()
        return merge_notes(self._connections.damage.readable(rows, note_of_row, lost_note))

    def _put(self, connection: sqlite3.Connection, key: ContentKey, book: Notebook) -> None:
        load_kg, until_s = book.load or (None, None)
        marks = None if book.marks is None else marks_text(book.marks)
        connection.execute(
            "INSERT INTO notebook VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (content_hash, activity) DO UPDATE "
            "SET marks = excluded.marks, load_kg = excluded.load_kg, load_until_s = excluded.load_until_s, "
            "title = excluded.title",
            (*_values(key), marks, load_kg, until_s, book.title),
        )
        here = self._notes(connection, key)
        known = set(here)
        rows = [
            (*_values(key), *row_of_note(note)) for note in merge_notes(here, book.notes) if note not in known
        ]
        places = ", ".join("?" * (2 + len(ROW_COLUMNS.split(","))))
        statement = (
            f"INSERT OR REPLACE INTO notebook_note (content_hash, activity, {ROW_COLUMNS}) VALUES ({places})"
        )
        connection.executemany(statement, rows)


def _values(key: ContentKey) -> tuple[str, int]:
    return key.content_hash, key.activity


def _decided(row: sqlite3.Row) -> Notebook:
    load = None if row["load_kg"] is None else (row["load_kg"], row["load_until_s"])
    return checked(Notebook(load=load, title=row["title"]))


class TickTable(LibraryTable):
    """When outings were ticked off: somebody looked at them, and what was written later is new."""

    def put(self, outing: str, moment: datetime | None) -> None:
        """Tick an outing off, or (None) take the tick back."""
        self._set_outings("reviewed_us", {outing: None if moment is None else to_us(moment)})

    def of(self, athlete: str) -> dict[str, datetime]:
        """The ticks on an athlete's outings, by identity; those without one are not in it."""
        query = "SELECT identity, reviewed_us FROM outing WHERE athlete = ? AND reviewed_us IS NOT NULL"
        return dict(self._readable(query, (athlete,), _ticked, lost("library.lost_tick", when=1)))


def _ticked(row: sqlite3.Row) -> tuple[str, datetime]:
    moment = from_us(row[1])
    if not YEARS[0] <= moment.year <= YEARS[1]:
        raise ValueError(moment)
    return str(row[0]), moment
