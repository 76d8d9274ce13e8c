"""From one athlete to another: outings with all that was written on them, or everything of two that are one.

Each act is one transaction; what the receiving athlete has decided stays, and the differences are reported.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass

from slopebeat.library.connections import LibraryTable


@dataclass(frozen=True)
class Belongings:
    """How much is kept of an athlete, or on some outings; all of it goes along with them."""

    outings: int = 0
    notes: int = 0
    decided: int = 0
    bands: int = 0
    prescriptions: int = 0
    masses: int = 0
    phases: int = 0
    places: int = 0


@dataclass
class Transferred:
    """What a transfer did.

    Attributes
    ----------
    outings : that have another athlete now.
    joined : of a file the receiver had, too: one is left of two, with the notes of both.
    kept_apart : bands, prescriptions and masses of a day on which the receiver has others; those of the
        receiver stay and these are gone.
    """

    outings: int = 0
    joined: int = 0
    kept_apart: int = 0


_COUNTED = {
    "outings": "SELECT count(*) FROM outing WHERE athlete = ?",
    "notes": "SELECT count(*) FROM note JOIN outing ON outing.identity = note.outing "
    "WHERE athlete = ? AND deleted_us IS NULL",
    "decided": "SELECT count(*) FROM decided_marks JOIN outing ON identity = outing WHERE athlete = ?",
    "bands": "SELECT count(*) FROM band_period WHERE athlete = ?",
    "prescriptions": "SELECT count(*) FROM prescription WHERE athlete = ?",
    "masses": "SELECT count(*) FROM body_mass WHERE athlete = ?",
    "phases": "SELECT count(*) FROM phase WHERE athlete = ?",
    "places": "SELECT count(*) FROM place WHERE athlete = ?",
}

_DATED = {
    "band_period": ("ground, from_day", "lower_bpm, upper_bpm, method, basis"),
    "prescription": ("from_day", "minutes_per_week, sessions_per_week, most_above_minutes"),
    "body_mass": ("from_day", "body_mass_kg"),
}
"""Tables of one row an athlete and day: what tells a row from the others of an athlete, and what it says."""


class Transfers(LibraryTable):
    """Moves what is kept between the athletes of a library."""

    def belongings(self, athlete: str) -> Belongings:
        """What is kept of an athlete."""
        return Belongings(**{name: self._rows(query, athlete)[0][0] for name, query in _COUNTED.items()})

    def move(self, outings: Iterable[str], into: str) -> Transferred:
        """Give outings another athlete, with notes, marks and ticks; KeyError for an unknown athlete."""
        report = Transferred()
        with self._connections.writing() as connection:
            _check(connection, into)
            for identity in outings:
                _move_outing(connection, identity, into, report)
        return report

    def merge(self, gone: str, into: str) -> Transferred:
        """Make two athletes one: everything of ``gone`` goes to ``into``, and ``gone`` is no more.

        Name, masses and prescription without a date stay those of ``into``.

        Raises
        ------
        KeyError
            For an unknown athlete. ValueError when both are the same.
        """
        if gone == into:
            raise ValueError("an athlete cannot be merged with itself")
        report = Transferred()
        with self._connections.writing() as connection:
            for each in (gone, into):
                _check(connection, each)
            rows = connection.execute("SELECT identity FROM outing WHERE athlete = ?", (gone,)).fetchall()
            for row in rows:
                _move_outing(connection, row[0], into, report)
            for table, (key, columns) in _DATED.items():
                report.kept_apart += _move_dated(connection, table, key, columns, gone, into)
            connection.execute("UPDATE phase SET athlete = ? WHERE athlete = ?", (into, gone))
            connection.execute("DELETE FROM athlete WHERE identity = ?", (gone,))
        return report


def _check(connection: sqlite3.Connection, athlete: str) -> None:
    if connection.execute("SELECT 1 FROM athlete WHERE identity = ?", (athlete,)).fetchone() is None:
        raise KeyError(athlete)


def _move_outing(connection: sqlite3.Connection, identity: str, into: str, report: Transferred) -> None:
    query = "SELECT athlete, content_hash, activity FROM outing WHERE identity = ?"
    row = connection.execute(query, (identity,)).fetchone()
    if row is None or row["athlete"] == into:
        return
    file = (into, row["content_hash"], row["activity"])
    same = connection.execute(
        "SELECT identity FROM outing WHERE athlete = ? AND content_hash = ? AND activity = ?", file
    ).fetchone()
    if same is not None:
        _join(connection, identity, same[0])
        report.joined += 1
        return
    # Places belong to one athlete; those of the other are found by the next search.
    ways = "SELECT identity FROM way WHERE outing = ?"
    connection.execute(f"DELETE FROM place_pass WHERE way IN ({ways})", (identity,))
    connection.execute("UPDATE way SET searched = 0 WHERE outing = ?", (identity,))
    connection.execute("UPDATE outing SET athlete = ? WHERE identity = ?", (into, identity))
    # What was passed over as another recording is an outing of its own now.
    connection.execute(
        "DELETE FROM duplicate WHERE content_hash = ?2 AND activity = ?3 "
        "AND outing IN (SELECT identity FROM outing WHERE athlete = ?1)",
        file,
    )
    report.outings += 1


def _join(connection: sqlite3.Connection, part: str, kept: str) -> None:
    """One outing of one file is left, with the notes of both; of decisions its own go first."""
    connection.execute("UPDATE note SET outing = ? WHERE outing = ?", (kept, part))
    connection.execute("UPDATE OR IGNORE decided_marks SET outing = ? WHERE outing = ?", (kept, part))
    connection.execute("UPDATE OR IGNORE duplicate SET outing = ? WHERE outing = ?", (kept, part))
    connection.execute(
        "UPDATE outing SET (load_kg, load_until_s) = "
        "(SELECT load_kg, load_until_s FROM outing WHERE identity = ?1) "
        "WHERE identity = ?2 AND load_kg = 0.0 AND load_until_s IS NULL",
        (part, kept),
    )
    connection.execute("DELETE FROM outing WHERE identity = ?", (part,))


def _move_dated(
    connection: sqlite3.Connection, table: str, key: str, columns: str, gone: str, into: str
) -> int:
    """Rows of a table with dates; how many of them say something else than those that stay."""
    names = key.split(", ")
    same = " AND ".join(f"theirs.{name} = mine.{name}" for name in names)
    other = " OR ".join(f"theirs.{name} IS NOT mine.{name}" for name in columns.split(", "))
    lost = connection.execute(
        f"SELECT count(*) FROM {table} AS theirs JOIN {table} AS mine ON {same} "
        f"WHERE theirs.athlete = ? AND mine.athlete = ? AND ({other})",
        (gone, into),
    ).fetchone()
    connection.execute(f"UPDATE OR IGNORE {table} SET athlete = ? WHERE athlete = ?", (into, gone))
    return int(lost[0])
