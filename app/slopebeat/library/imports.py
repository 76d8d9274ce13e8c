"""Files coming in: what is already here, and keeping all outings of a file together or none."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from slopebeat.library.connections import LibraryTable
from slopebeat.library.integrity import UNREADABLE, now, to_us
from slopebeat.library.outings import (
    COLUMNS,
    OUTING_COLUMNS,
    Original,
    OutingFacts,
    StoredOuting,
    lost_outing,
    outing_of,
)
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, put_result
from slopebeat.library.takeover import OutingMatch, take_over
from slopebeat.model.codec import decode

LONGEST_OUTING = timedelta(days=2)
"""An outing is not looked for that began longer before another [project choice]."""


@dataclass(frozen=True)
class IncomingOuting:
    """One activity of an arriving file, with its result where it was reviewed."""

    facts: OutingFacts
    result: Result | None = None
    load_kg: float = 0.0
    load_until_s: float | None = None
    match: OutingMatch | None = None


@dataclass(frozen=True)
class ImportedOuting:
    """The outing an arrival is kept as; ``is_new`` False: it was here already, from another file.

    ``took_over`` names the file whose place the arriving one took; empty where it took none.
    """

    outing: StoredOuting
    is_new: bool
    took_over: str = ""


@dataclass(frozen=True)
class Nearby:
    """An outing that may overlap another in time; ``end_utc`` None where it is not known."""

    outing: StoredOuting
    end_utc: datetime | None


@dataclass(frozen=True)
class _Span:
    """What is read of the evidence kept of an outing to know its end."""

    span_s: float


class ImportTable(LibraryTable):
    """The way of files into a library."""

    def known(self, athlete: str, content_hash: str, as_others: bool = True) -> tuple[StoredOuting, ...]:
        """The outings a file gave, when every activity in it is here; else empty: it is worth reading.

        An outing removed since, of a file with several, makes the file worth reading again. ``as_others``:
        what is here as another recording of an outing counts as well.
        """
        query = (
            f"SELECT {OUTING_COLUMNS}, outing.of_activities, outing.activity FROM outing "
            "WHERE athlete = ?1 AND content_hash = ?2 "
            f"UNION ALL SELECT {OUTING_COLUMNS}, duplicate.of_activities, duplicate.activity "
            "FROM duplicate JOIN outing ON outing.identity = duplicate.outing "
            "WHERE outing.athlete = ?1 AND duplicate.content_hash = ?2 AND ?3"
        )
        rows = self._rows(query, athlete, content_hash, as_others)
        whole = bool(rows) and len({row[-1] for row in rows}) >= rows[0][-2]
        return tuple(self._connections.damage.readable(rows, outing_of, lost_outing)) if whole else ()

    def nearby(self, athlete: str, start_utc: datetime, end_utc: datetime) -> tuple[Nearby, ...]:
        """An athlete's outings that overlap these times, as far as is known; the earliest first."""
        query = (
            f"SELECT {OUTING_COLUMNS}, evidence FROM outing LEFT JOIN result ON result.outing = identity "
            "WHERE athlete = ? AND start_us BETWEEN ? AND ? ORDER BY start_us, identity"
        )
        start, end = to_us(start_utc - LONGEST_OUTING), to_us(min(end_utc, start_utc + LONGEST_OUTING))
        found = self._readable(query, (athlete, start, end), _nearby, lost_outing)
        return tuple(each for each in found if each.end_utc is None or each.end_utc >= start_utc)

    def holding(self, content_hash: str, activity: int) -> tuple[StoredOuting, ...]:
        """The outings of all athletes an activity of a file is kept as, the first kept first."""
        query = (
            f"SELECT {OUTING_COLUMNS} FROM outing WHERE content_hash = ?1 AND activity = ?2 "
            f"UNION ALL SELECT {OUTING_COLUMNS} FROM duplicate "
            "JOIN outing ON outing.identity = duplicate.outing "
            "WHERE duplicate.content_hash = ?1 AND duplicate.activity = ?2"
        )
        found = self._readable(query, (content_hash, activity), outing_of, lost_outing)
        return tuple(sorted(found, key=lambda outing: (outing.added_utc, outing.identity)))

    def keep(
        self, athlete: str, original: Original, file_name: str, arrivals: Sequence[IncomingOuting]
    ) -> tuple[ImportedOuting, ...]:
        """Keep every activity of one file, in one transaction; what is already here is only remembered.

        When this returns, all of it is on the disk.
        """
        if not arrivals:
            raise ValueError("a file without activities is not kept")
        with self._connections.writing() as connection:
            return tuple(
                _keep(connection, athlete, original, file_name, each, len(arrivals)) for each in arrivals
            )


def _keep(
    connection: sqlite3.Connection,
    athlete: str,
    original: Original,
    file_name: str,
    arrival: IncomingOuting,
    of_activities: int,
) -> ImportedOuting:
    """Keep one activity: as an outing of its own, in the place of a part of it, or as known."""
    key = (original.content_hash, arrival.facts.activity, of_activities)
    here = _outing(connection, "athlete = ? AND content_hash = ? AND activity = ?", (athlete, *key[:2]))
    if here is not None:
        return ImportedOuting(here, False)
    match = arrival.match
    met = None if match is None else _outing(connection, "identity = ?", (match.outing,))
    if match is not None and met is not None and not match.takes_over:
        statement = "INSERT OR IGNORE INTO duplicate VALUES (?, ?, ?, ?)"
        connection.execute(statement, (met.identity, *key))
        return ImportedOuting(met, False)
    connection.execute(
        "INSERT OR IGNORE INTO content (hash, size_bytes, packed) VALUES (?, ?, ?)",
        (original.content_hash, original.size_bytes, original.packed),
    )
    outing = _stored(athlete, original, file_name, arrival)
    if match is None or met is None:
        _insert(connection, outing, of_activities)
        # Known so far as another recording of some outing, it now is one of its own.
        connection.execute(
            "DELETE FROM duplicate WHERE content_hash = ? AND activity = ? "
            "AND outing IN (SELECT identity FROM outing WHERE athlete = ?)",
            (*key[:2], athlete),
        )
    else:
        outing = take_over(connection, met, outing, of_activities, match)
    if arrival.result is not None:
        put_result(connection, outing.identity, arrival.result)
    return ImportedOuting(outing, met is None, "" if met is None else met.file_name)


def _stored(athlete: str, original: Original, file_name: str, arrival: IncomingOuting) -> StoredOuting:
    return StoredOuting(
        **vars(arrival.facts),
        identity=new_identity(),
        athlete=athlete,
        content_hash=original.content_hash,
        file_name=file_name,
        load_kg=arrival.load_kg,
        load_until_s=arrival.load_until_s,
        added_utc=now(),
    )


def _outing(
    connection: sqlite3.Connection, condition: str, values: tuple[object, ...]
) -> StoredOuting | None:
    row = connection.execute(f"SELECT {COLUMNS} FROM outing WHERE {condition}", values).fetchone()
    return None if row is None else outing_of(row)


def _nearby(row: sqlite3.Row) -> Nearby:
    outing = outing_of(row)
    try:
        span_s = decode(row["evidence"], _Span).span_s
        return Nearby(outing, outing.start_utc + timedelta(seconds=span_s))
    except UNREADABLE:
        return Nearby(outing, None)  # There is none, or of an earlier version, or it is damaged.


def _insert(connection: sqlite3.Connection, outing: StoredOuting, of_activities: int) -> None:
    fields = vars(outing) | {"start_utc": to_us(outing.start_utc), "added_utc": to_us(outing.added_utc)}
    values = (*fields.values(), of_activities)
    marks = ", ".join("?" * len(values))
    connection.execute(f"INSERT INTO outing ({COLUMNS}, of_activities) VALUES ({marks})", values)
