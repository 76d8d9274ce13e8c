"""What holds for athletes from a day on, or between two days: prescriptions, body masses, phases."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import date
from typing import TypeVar

from slopebeat.library.connections import Connections
from slopebeat.library.faults import LibraryFault
from slopebeat.library.sound import checked, shown
from slopebeat.model.message import Message, message
from slopebeat.model.people import BodyMass, Dated, Phase, PhaseKind, Prescription

T = TypeVar("T")

Entry = Prescription | BodyMass | Phase

_PRESCRIPTION = "minutes_per_week, sessions_per_week, most_above_minutes"


class DatedTable:
    """Prescriptions and body masses, one an athlete and day, and phases."""

    def __init__(self, connections: Connections) -> None:
        self._connections = connections

    def of(self, athlete: str) -> Dated:
        """All of an athlete, by day."""
        return Dated(
            self._read(f"SELECT from_day, {_PRESCRIPTION} FROM prescription", athlete, _prescription),
            self._read("SELECT from_day, body_mass_kg FROM body_mass", athlete, _mass),
            self._read("SELECT first_day, last_day, identity, kind, text FROM phase", athlete, _phase),
        )

    def put(self, entry: Entry) -> None:
        """Keep an entry; one of the same athlete and day, or the phase of this identity, is replaced.

        Raises
        ------
        LibraryFault
            When a phase ends before it begins.
        """
        if isinstance(entry, Phase):
            if entry.last_day is not None and entry.last_day < entry.first_day:
                raise LibraryFault(message("library.phase_backwards"))
            last = None if entry.last_day is None else entry.last_day.isoformat()
            values: tuple[object, ...] = (entry.kind.name, entry.first_day.isoformat(), last, entry.text)
            self._write(
                "INSERT OR REPLACE INTO phase (identity, athlete, kind, first_day, last_day, text) "
                "VALUES (?, ?, ?, ?, ?, ?)",
                (entry.identity, entry.athlete, *values),
            )
            return
        key = (entry.athlete, entry.from_day.isoformat())
        if isinstance(entry, BodyMass):
            self._write("INSERT OR REPLACE INTO body_mass VALUES (?, ?, ?)", (*key, entry.body_mass_kg))
        else:
            asked = (entry.minutes_per_week, entry.sessions_per_week, entry.most_above_minutes)
            self._write("INSERT OR REPLACE INTO prescription VALUES (?, ?, ?, ?, ?)", (*key, *asked))

    def remove(self, entry: Entry) -> None:
        """Remove an entry; what held before it goes on."""
        if isinstance(entry, Phase):
            self._write("DELETE FROM phase WHERE identity = ?", (entry.identity,))
            return
        table = "body_mass" if isinstance(entry, BodyMass) else "prescription"
        key = (entry.athlete, entry.from_day.isoformat())
        self._write(f"DELETE FROM {table} WHERE athlete = ? AND from_day = ?", key)

    def _read(self, query: str, athlete: str, made: Callable[[str, sqlite3.Row], T]) -> tuple[T, ...]:
        with self._connections.reading() as connection:
            rows = connection.execute(f"{query} WHERE athlete = ? ORDER BY 1", (athlete,)).fetchall()
        damage = self._connections.damage
        return tuple(damage.readable(rows, lambda row: made(athlete, row), _lost))

    def _write(self, statement: str, values: tuple[object, ...]) -> None:
        with self._connections.writing() as connection:
            connection.execute(statement, values)


def _prescription(athlete: str, row: sqlite3.Row) -> Prescription:
    return checked(Prescription(athlete, date.fromisoformat(row[0]), *row[1:]))


def _mass(athlete: str, row: sqlite3.Row) -> BodyMass:
    return checked(BodyMass(athlete, date.fromisoformat(row[0]), row[1]))


def _phase(athlete: str, row: sqlite3.Row) -> Phase:
    last = None if row["last_day"] is None else date.fromisoformat(row["last_day"])
    kind = PhaseKind[row["kind"]]
    first = date.fromisoformat(row["first_day"])
    return checked(Phase(row["identity"], athlete, kind, first, last, row["text"]))


def _lost(row: sqlite3.Row) -> Message:
    return message("library.lost_dated", day=shown(row[0]))
