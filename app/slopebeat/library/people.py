"""Athletes, the bands in force for them, and what else has dates: prescriptions, body masses, phases."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from typing import TypeVar
from uuid import uuid4

from slopebeat.library.connections import LibraryTable
from slopebeat.library.faults import LibraryFault
from slopebeat.library.integrity import Damage, checked, lost, shown
from slopebeat.model.bands import Band, BandMethod
from slopebeat.model.basis import Basis
from slopebeat.model.codec import repaired
from slopebeat.model.message import message
from slopebeat.model.people import (
    Athlete,
    BandPeriod,
    BodyMass,
    Dated,
    Ground,
    Phase,
    PhaseKind,
    Prescription,
)

T = TypeVar("T")

Entry = Prescription | BodyMass | Phase

_PRESCRIPTION = "minutes_per_week, sessions_per_week, most_above_minutes"

_COLUMNS = "identity, name, birth_year, body_mass_kg, bike_mass_kg, sessions_per_week, minutes_per_week"


def new_identity() -> str:
    """A random UUID in text."""
    return str(uuid4())


NAMELESS = "Athlete"
"""Stands for a name that is damaged."""


class AthleteTable(LibraryTable):
    """The athletes of a library."""

    def __iter__(self) -> Iterator[Athlete]:
        """All athletes, by name."""
        query, damage = f"SELECT {_COLUMNS} FROM athlete", self._connections.damage
        named = lost("library.lost_athlete", name="name")
        found = self._readable(query, (), lambda row: _athlete(row, damage), named)
        return iter(sorted(found, key=lambda a: (a.name.casefold(), a.name)))

    def get(self, identity: str) -> Athlete:
        """One athlete; KeyError when there is none of this identity.

        Looked for among all, who are few: a damaged index hides the row it should lead to.
        """
        found = next((athlete for athlete in self if athlete.identity == identity), None)
        if found is None:
            raise KeyError(identity)
        return found

    def named(self, name: str) -> Athlete | None:
        """The athlete of this name, whatever the case of its letters; None when there is none."""
        wanted = _tidy(name).casefold()
        return next((athlete for athlete in self if athlete.name.casefold() == wanted), None)

    def add(self, athlete: Athlete) -> Athlete:
        """Keep a new athlete; returned with its name as it is kept.

        Raises
        ------
        LibraryFault
            When the name is empty or taken.
        """
        return self._put(athlete, f"INSERT INTO athlete ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?)")

    def change(self, athlete: Athlete) -> Athlete:
        """Replace what is kept of the athlete of the same identity; KeyError when there is none."""
        self.get(athlete.identity)
        return self._put(
            athlete,
            "UPDATE athlete SET name = ?2, birth_year = ?3, body_mass_kg = ?4, bike_mass_kg = ?5, "
            "sessions_per_week = ?6, minutes_per_week = ?7 WHERE identity = ?1",
        )

    def remove(self, identity: str) -> int:
        """Remove an athlete with all bands, outings, files and notes; returns how many outings went."""
        with self._connections.writing() as connection:
            query = "SELECT count(*) FROM outing WHERE athlete = ?"
            count = int(connection.execute(query, (identity,)).fetchone()[0])
            connection.execute("DELETE FROM athlete WHERE identity = ?", (identity,))
        # What was overwritten may still stand in the log beside the library.
        self._rows("PRAGMA wal_checkpoint(TRUNCATE)")
        return count

    def _put(self, athlete: Athlete, statement: str) -> Athlete:
        name = _tidy(athlete.name)
        if not name:
            raise LibraryFault(message("library.nameless"))
        kept = replace(
            athlete,
            name=name,
            body_mass_kg=float(athlete.body_mass_kg),
            bike_mass_kg=float(athlete.bike_mass_kg),
            minutes_per_week=None if athlete.minutes_per_week is None else float(athlete.minutes_per_week),
        )
        with self._connections.writing() as connection:
            other = self.named(name)
            if other is not None and other.identity != athlete.identity:
                raise LibraryFault(message("library.same_name", name=other.name))
            connection.execute(statement, [getattr(kept, column) for column in _COLUMNS.split(", ")])
        return kept


class BandTable(LibraryTable):
    """Bands with the day each came into force, per athlete and ground."""

    def of(self, athlete: str) -> tuple[BandPeriod, ...]:
        """All periods of an athlete, by ground and day."""
        query = "SELECT * FROM band_period WHERE athlete = ? ORDER BY ground, from_day"
        named = lost("library.lost_band", lower="lower_bpm", upper="upper_bpm", day="from_day")
        return tuple(self._readable(query, (athlete,), _period, named))

    def put(self, period: BandPeriod) -> None:
        """Keep a period; one of the same athlete, ground and day is replaced."""
        band = period.band
        key = (period.athlete, period.ground.name, period.from_day.isoformat())
        values = (band.lower_bpm, band.upper_bpm, band.method.name, band.basis.text)
        self._write(
            "INSERT OR REPLACE INTO band_period (athlete, ground, from_day, lower_bpm, upper_bpm, "
            "method, basis) VALUES (?, ?, ?, ?, ?, ?, ?)",
            *key,
            *values,
        )

    def remove(self, period: BandPeriod) -> None:
        """Remove the period of this athlete, ground and day; the one before it stays in force."""
        statement = "DELETE FROM band_period WHERE athlete = ? AND ground = ? AND from_day = ?"
        self._write(statement, period.athlete, period.ground.name, period.from_day.isoformat())


class DatedTable(LibraryTable):
    """Prescriptions and body masses, one an athlete and day, and phases."""

    def of(self, athlete: str) -> Dated:
        """All of an athlete, by day."""
        return Dated(
            self._read(f"SELECT from_day, {_PRESCRIPTION} FROM prescription", athlete, _prescription_of),
            self._read("SELECT from_day, body_mass_kg FROM body_mass", athlete, _mass_of),
            self._read("SELECT first_day, last_day, identity, kind, text FROM phase", athlete, _phase_of),
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
                *(entry.identity, entry.athlete, *values),
            )
            return
        key = (entry.athlete, entry.from_day.isoformat())
        if isinstance(entry, BodyMass):
            self._write("INSERT OR REPLACE INTO body_mass VALUES (?, ?, ?)", *key, entry.body_mass_kg)
        else:
            asked = (entry.minutes_per_week, entry.sessions_per_week, entry.most_above_minutes)
            self._write("INSERT OR REPLACE INTO prescription VALUES (?, ?, ?, ?, ?)", *key, *asked)

    def remove(self, entry: Entry) -> None:
        """Remove an entry; what held before it goes on."""
        if isinstance(entry, Phase):
            self._write("DELETE FROM phase WHERE identity = ?", entry.identity)
            return
        table = "body_mass" if isinstance(entry, BodyMass) else "prescription"
        statement = f"DELETE FROM {table} WHERE athlete = ? AND from_day = ?"
        self._write(statement, entry.athlete, entry.from_day.isoformat())

    def _read(self, query: str, athlete: str, made: Callable[[str, sqlite3.Row], T]) -> tuple[T, ...]:
        query = f"{query} WHERE athlete = ? ORDER BY 1"
        named = lost("library.lost_dated", day=0)
        return tuple(self._readable(query, (athlete,), lambda row: made(athlete, row), named))


def _tidy(name: str) -> str:
    return " ".join(name.split())


def _athlete(row: sqlite3.Row, damage: Damage) -> Athlete:
    """The athlete of a row; what is damaged beside the identity falls back to a new one's, and is reported.

    A row lost for its body mass would take years of outings with it.
    """
    damaged: list[str] = []
    values = {column: row[column] for column in _COLUMNS.split(", ")}
    found = repaired(values, checked(Athlete(row["identity"], NAMELESS)), damaged)
    for column in damaged:
        damage.add(message("library.damaged_athlete", name=shown(row["name"]), what=column))
    return found


def _period(row: sqlite3.Row) -> BandPeriod:
    # Names, not values, are kept of an enumeration: values are words on screen, and words change.
    try:
        method = BandMethod[row["method"]]
    except KeyError:
        raise LibraryFault(message("library.unknown_method", method=row["method"])) from None
    band = Band(row["lower_bpm"], row["upper_bpm"], method, Basis.read(row["basis"]))
    return checked(
        BandPeriod(
            row["athlete"],
            Ground[row["ground"]],
            date.fromisoformat(row["from_day"]),
            band,
        )
    )


def _prescription_of(athlete: str, row: sqlite3.Row) -> Prescription:
    return checked(Prescription(athlete, date.fromisoformat(row[0]), *row[1:]))


def _mass_of(athlete: str, row: sqlite3.Row) -> BodyMass:
    return checked(BodyMass(athlete, date.fromisoformat(row[0]), row[1]))


def _phase_of(athlete: str, row: sqlite3.Row) -> Phase:
    last = None if row["last_day"] is None else date.fromisoformat(row["last_day"])
    kind = PhaseKind[row["kind"]]
    first = date.fromisoformat(row["first_day"])
    return checked(Phase(row["identity"], athlete, kind, first, last, row["text"]))
