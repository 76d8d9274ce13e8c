"""What was written and decided on recordings that are kept as no outing: rows by content."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from slopebeat.library.connections import Connections
from slopebeat.library.notes import ROW_COLUMNS, lost_note, note_of_row, row_of_note
from slopebeat.library.outings import marks_text, readable_marks
from slopebeat.library.sound import checked
from slopebeat.model.marks import Mark
from slopebeat.model.message import Message, message
from slopebeat.model.notes import Note, merge_notes


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


class NotebookTable:
    """The notebooks in a library."""

    def __init__(self, connections: Connections) -> None:
        self._connections = connections

    def read(self, key: ContentKey) -> Notebook:
        """The notebook, empty where there is none; what is damaged in it is left out and named."""
        with self._connections.reading() as connection:
            return self._read(connection, key)

    def write(self, key: ContentKey, book: Notebook) -> None:
        """Keep a notebook; notes another window has written meanwhile are kept as well."""
        with self._connections.writing() as connection:
            self._write(connection, key, book)

    def take_in(self, key: ContentKey, book: Notebook, file_name: str, file_hash: str) -> None:
        """Bring in what a file of an earlier version holds, once; what was decided here since goes first."""
        with self._connections.writing() as connection:
            values = (file_name, file_hash)
            if connection.execute("INSERT OR IGNORE INTO taken_notebook VALUES (?, ?)", values).rowcount:
                here = self._read(connection, key)
                marks = book.marks if here.marks is None else here.marks
                load = book.load if here.load is None else here.load
                title = book.title if here.title is None else here.title
                self._write(connection, key, Notebook(book.notes, marks, load, title))

    def remove(self, key: ContentKey) -> None:
        """Forget a notebook with its notes, if there is one."""
        with self._connections.writing() as connection:
            connection.execute("DELETE FROM notebook WHERE content_hash = ? AND activity = ?", _values(key))

    def _read(self, connection: sqlite3.Connection, key: ContentKey) -> Notebook:
        query = (
            "SELECT marks, load_kg, load_until_s, title FROM notebook WHERE content_hash = ? AND activity = ?"
        )
        row = connection.execute(query, _values(key)).fetchone()
        if row is None:
            return Notebook()
        damage = self._connections.damage
        marks = None if row["marks"] is None else readable_marks(damage, row["marks"])
        (decided,) = damage.readable([row], _decided, _lost) or [Notebook()]
        return Notebook(self._notes(connection, key), marks, decided.load, decided.title)

    def _notes(self, connection: sqlite3.Connection, key: ContentKey) -> tuple[Note, ...]:
        query = f"SELECT {ROW_COLUMNS} FROM notebook_note WHERE content_hash = ? AND activity = ?"
        rows = connection.execute(query, _values(key)).fetchall()
        return merge_notes(self._connections.damage.readable(rows, note_of_row, lost_note))

    def _write(self, connection: sqlite3.Connection, key: ContentKey, book: Notebook) -> None:
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


def _lost(row: sqlite3.Row) -> Message:
    return message("notebook.lost_decisions")
