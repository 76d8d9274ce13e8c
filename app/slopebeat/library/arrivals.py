"""Files coming in: what is already here, and keeping all outings of a file together or none."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from slopebeat.library.connections import Connections
from slopebeat.library.moments import now, to_us
from slopebeat.library.originals import Original
from slopebeat.library.outings import COLUMNS, OutingFacts, StoredOuting, lost_outing, outing_of
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, put_result

SAME_START = timedelta(seconds=2)
"""Two recordings of an athlete that start no further apart are of the same outing [project choice]."""

_SAME_START_US = SAME_START // timedelta(microseconds=1)


@dataclass(frozen=True)
class Arrival:
    """One activity of an arriving file, with its result where it was reviewed."""

    facts: OutingFacts
    result: Result | None = None
    load_kg: float = 0.0
    load_until_s: float | None = None


@dataclass(frozen=True)
class Kept:
    """The outing an arrival is kept as; ``is_new`` False: it was here already, from another file."""

    outing: StoredOuting
    is_new: bool


class Arrivals:
    """The way of files into a library."""

    def __init__(self, connections: Connections) -> None:
        self._connections = connections

    def known(self, athlete: str, content_hash: str) -> tuple[StoredOuting, ...]:
        """The outings a file gave, when every activity in it is here; else empty: it is worth reading.

        An outing removed since, of a file with several, makes the file worth reading again.
        """
        columns = ", ".join(f"outing.{name}" for name in COLUMNS.split(", "))
        query = (
            f"SELECT {columns}, outing.of_activities, outing.activity FROM outing "
            "WHERE athlete = ?1 AND content_hash = ?2 "
            f"UNION ALL SELECT {columns}, duplicate.of_activities, duplicate.activity "
            "FROM duplicate JOIN outing ON outing.identity = duplicate.outing "
            "WHERE outing.athlete = ?1 AND duplicate.content_hash = ?2"
        )
        with self._connections.reading() as connection:
            rows = connection.execute(query, (athlete, content_hash)).fetchall()
        whole = bool(rows) and len({row[-1] for row in rows}) >= rows[0][-2]
        return tuple(self._connections.damage.readable(rows, outing_of, lost_outing)) if whole else ()

    def holding(self, content_hash: str, activity: int) -> tuple[StoredOuting, ...]:
        """The outings of all athletes an activity of a file is kept as, the first kept first."""
        columns = ", ".join(f"outing.{name}" for name in COLUMNS.split(", "))
        query = (
            f"SELECT {columns} FROM outing WHERE content_hash = ?1 AND activity = ?2 "
            f"UNION ALL SELECT {columns} FROM duplicate JOIN outing ON outing.identity = duplicate.outing "
            "WHERE duplicate.content_hash = ?1 AND duplicate.activity = ?2"
        )
        with self._connections.reading() as connection:
            rows = connection.execute(query, (content_hash, activity)).fetchall()
        found = self._connections.damage.readable(rows, outing_of, lost_outing)
        return tuple(sorted(found, key=lambda outing: (outing.added_utc, outing.identity)))

    def keep(
        self, athlete: str, original: Original, file_name: str, arrivals: Sequence[Arrival]
    ) -> tuple[Kept, ...]:
        """Keep every activity of one file, in one transaction; what is already here is only remembered.

        When this returns, all of it is on the disk.
        """
        if not arrivals:
            raise ValueError("a file without activities is not kept")
        kept: list[Kept] = []
        with self._connections.writing() as connection:
            for arrival in arrivals:
                key = (original.content_hash, arrival.facts.activity, len(arrivals))
                twin = self._twin(connection, athlete, arrival.facts, key)
                if twin is None:
                    _keep_content(connection, original)
                    outing = _stored(athlete, original, file_name, arrival)
                    _insert(connection, outing, len(arrivals))
                    if arrival.result is not None:
                        put_result(connection, outing.identity, arrival.result)
                elif twin.content_hash != original.content_hash:
                    statement = "INSERT OR IGNORE INTO duplicate VALUES (?, ?, ?, ?)"
                    connection.execute(statement, (twin.identity, *key))
                kept.append(Kept(outing if twin is None else twin, twin is None))
        return tuple(kept)

    def _twin(
        self, connection: sqlite3.Connection, athlete: str, facts: OutingFacts, key: tuple[str, int, int]
    ) -> StoredOuting | None:
        """The outing already kept of this very activity, else of another file with the same start."""
        same = "content_hash = ? AND activity = ?"
        query = f"SELECT {COLUMNS} FROM outing WHERE athlete = ? AND {same}"
        row = connection.execute(query, (athlete, *key[:2])).fetchone()
        if row is None:
            start = to_us(facts.start_utc)
            row = connection.execute(
                f"SELECT {COLUMNS} FROM outing WHERE athlete = ? AND start_us BETWEEN ? AND ? "
                "AND content_hash != ? ORDER BY abs(start_us - ?)",
                (athlete, start - _SAME_START_US, start + _SAME_START_US, key[0], start),
            ).fetchone()
        return None if row is None else outing_of(row)


def _stored(athlete: str, original: Original, file_name: str, arrival: Arrival) -> StoredOuting:
    facts = arrival.facts
    return StoredOuting(
        facts.activity,
        facts.start_utc,
        facts.utc_offset_s,
        facts.sport,
        facts.on_bike,
        facts.title,
        new_identity(),
        athlete,
        original.content_hash,
        file_name,
        arrival.load_kg,
        arrival.load_until_s,
        now(),
    )


def _keep_content(connection: sqlite3.Connection, original: Original) -> None:
    connection.execute(
        "INSERT OR IGNORE INTO content (hash, size_bytes, packed) VALUES (?, ?, ?)",
        (original.content_hash, original.size_bytes, original.packed),
    )


def _insert(connection: sqlite3.Connection, outing: StoredOuting, of_activities: int) -> None:
    values = (
        outing.activity,
        to_us(outing.start_utc),
        outing.utc_offset_s,
        outing.sport,
        outing.on_bike,
        outing.title,
        outing.identity,
        outing.athlete,
        outing.content_hash,
        outing.file_name,
        outing.load_kg,
        outing.load_until_s,
        to_us(outing.added_utc),
    )
    marks = ", ".join("?" * (len(values) + 1))
    connection.execute(
        f"INSERT INTO outing ({COLUMNS}, of_activities) VALUES ({marks})", (*values, of_activities)
    )
