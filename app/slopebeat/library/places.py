"""Places that were gone over more than once, with every pass; all of it can be found again from the ways.

What is found rests on where outings went: like the ways, it does not leave the library with coordinates.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from slopebeat.library.connections import LibraryTable
from slopebeat.library.integrity import checked, lost
from slopebeat.library.outings import title_of_row
from slopebeat.library.ways import points_of, points_packed, way_of_row
from slopebeat.model.codec import decode, encode
from slopebeat.model.way import PassFigures, Place, Way, WayFacts, WayPoints

T = TypeVar("T")

Cells = NDArray[np.uint32]


@dataclass(frozen=True)
class FoundPass:
    """A place gone over on a way, by its number in the library, from one point to another."""

    way: int
    first: int
    last: int
    figures: PassFigures


@dataclass(frozen=True, eq=False)
class FoundPlace:
    """A new place with all its passes."""

    kind: str
    length_m: float
    gain_m: float | None
    points: WayPoints
    cells: Cells
    passes: tuple[FoundPass, ...]


@dataclass(frozen=True)
class KeptPass:
    """A pass over a place as the library keeps it.

    Attributes
    ----------
    outing, title : identity and title of the outing. facts : of the outing.
    first, last : points of the outing's way.
    """

    place: int
    outing: str
    title: str
    facts: WayFacts
    first: int
    last: int
    figures: PassFigures


@dataclass(frozen=True, eq=False)
class KeptCells:
    """The cells of many ways or places one after the other: numbers, how many each has, and all of them."""

    identities: tuple[int, ...]
    sizes: NDArray[np.intp]
    cells: Cells


class PlaceTable(LibraryTable):
    """The places of a library and the search for them."""

    def of(self, athlete: str) -> tuple[Place, ...]:
        """All places of an athlete, in the order in which they were found."""
        query = "SELECT identity, kind, length_m, gain_m FROM place WHERE athlete = ? ORDER BY identity"
        return tuple(self._read(query, (athlete,), lambda row: checked(Place(*row))))

    def passes(self, athlete: str) -> tuple[KeptPass, ...]:
        """Every pass over every place of an athlete, the earliest first."""
        return self._passes("athlete = ?", athlete)

    def beside(self, outing: str) -> tuple[KeptPass, ...]:
        """Every pass over the places that one outing goes over, its own among them, the earliest first."""
        places = "SELECT place FROM place_pass JOIN way ON way.identity = way WHERE way.outing = ?"
        return self._passes(f"place IN ({places})", outing)

    def _passes(self, condition: str, value: str) -> tuple[KeptPass, ...]:
        query = (
            "SELECT place, outing.identity, title, file_name, facts, first_point, last_point, figures "
            "FROM place_pass JOIN way ON way.identity = way JOIN outing ON outing.identity = outing "
            f"WHERE {condition} ORDER BY start_us, outing.identity, first_point, place"
        )
        facts: dict[str, WayFacts] = {}
        return tuple(self._read(query, (value,), lambda row: _kept_pass(row, facts)))

    def not_searched(self, athlete: str, version: int) -> tuple[int, ...]:
        """Ways not looked at yet by this version of the search, the earliest first."""
        query = (
            "SELECT way.identity FROM way JOIN outing ON outing.identity = outing "
            "WHERE athlete = ? AND searched != ? ORDER BY start_us, outing.identity"
        )
        return tuple(row[0] for row in self._rows(query, athlete, version))

    def way(self, identity: int) -> Way | None:
        """A way by its number; None where it is gone or damaged."""
        found = self._read("SELECT line, along, facts FROM way WHERE identity = ?", (identity,), way_of_row)
        return found[0] if found else None

    def points(self, identity: int) -> WayPoints | None:
        """The points of a place; None where it is gone or damaged."""
        query = "SELECT line FROM place WHERE identity = ?"
        found = self._read(query, (identity,), lambda row: points_of(row["line"]))
        return found[0] if found else None

    def way_cells(self, athlete: str) -> KeptCells:
        """The cells of all ways that were searched."""
        # Read as they lie: looking each way's outing up takes longer than all the rest.
        query = "SELECT way, cells FROM way_cells"
        if self._count("athlete") == 1:
            return self._cells(query, ())
        own = "SELECT way.identity FROM outing JOIN way ON outing = outing.identity WHERE athlete = ?"
        return self._cells(f"{query} WHERE way IN ({own})", (athlete,))

    def place_cells(self, athlete: str) -> KeptCells:
        """The cells of all places."""
        return self._cells("SELECT identity, cells FROM place WHERE athlete = ?", (athlete,))

    def keep(
        self,
        athlete: str,
        way: int,
        version: int,
        cells: Cells,
        known: Iterable[tuple[int, FoundPass]],
        new: Sequence[FoundPlace],
    ) -> tuple[int, ...]:
        """Keep what the search of a way found, in one transaction; the numbers of the new places.

        Nothing is kept where the way is gone meanwhile.

        Parameters
        ----------
        known : passes over places that are kept, with their numbers.
        """
        with self._connections.writing() as connection:
            done = connection.execute("UPDATE way SET searched = ? WHERE identity = ?", (version, way))
            if done.rowcount == 0:
                return ()
            connection.execute("INSERT OR REPLACE INTO way_cells VALUES (?, ?)", (way, cells.tobytes()))
            for place, found in known:
                _put_pass(connection, place, found)
            return tuple(_put_place(connection, athlete, each) for each in new)

    def forget(self, athlete: str) -> None:
        """Forget an athlete's places and passes; the next search finds them again from the ways."""
        with self._connections.writing() as connection:
            connection.execute("DELETE FROM place WHERE athlete = ?", (athlete,))
            own = "outing IN (SELECT identity FROM outing WHERE athlete = ?)"
            ways = f"SELECT identity FROM way WHERE {own}"
            connection.execute(f"DELETE FROM way_cells WHERE way IN ({ways})", (athlete,))
            connection.execute(f"UPDATE way SET searched = 0 WHERE {own}", (athlete,))

    def _cells(self, query: str, values: tuple[object, ...]) -> KeptCells:
        rows = self._rows(query, *values)
        sound = [row for row in rows if isinstance(row[1], bytes) and len(row[1]) % 4 == 0]
        sizes = np.array([len(row[1]) // 4 for row in sound], dtype=np.intp)
        together = np.frombuffer(b"".join(row[1] for row in sound), dtype=np.uint32)
        return KeptCells(tuple(row[0] for row in sound), sizes, together)

    def _read(self, query: str, values: tuple[object, ...], make: Callable[[Any], T]) -> list[T]:
        return self._readable(query, values, make, lost("library.lost_ground"))


def _put_place(connection: sqlite3.Connection, athlete: str, place: FoundPlace) -> int:
    made = connection.execute(
        "INSERT INTO place (athlete, kind, length_m, gain_m, cells, line) VALUES (?, ?, ?, ?, ?, ?)",
        (
            *(athlete, place.kind, place.length_m, place.gain_m),
            *(place.cells.tobytes(), points_packed(place.points)),
        ),
    )
    identity = int(made.lastrowid or 0)
    for found in place.passes:
        _put_pass(connection, identity, found)
    return identity


def _put_pass(connection: sqlite3.Connection, place: int, found: FoundPass) -> None:
    """Keep a pass unless its way or its place was removed meanwhile."""
    connection.execute(
        "INSERT OR REPLACE INTO place_pass SELECT ?1, ?2, ?3, ?4, ?5 WHERE "
        "EXISTS (SELECT 1 FROM way WHERE identity = ?2) AND EXISTS (SELECT 1 FROM place WHERE identity = ?1)",
        (place, found.way, found.first, found.last, encode(found.figures)),
    )


def _kept_pass(row: sqlite3.Row, facts: dict[str, WayFacts]) -> KeptPass:
    """The pass of a row; the facts of an outing are read once."""
    place, outing, kept_title, file_name, values, first, last, figures = row
    title = title_of_row(kept_title, file_name)
    if outing not in facts:
        facts[outing] = decode(values, WayFacts)
    if not (isinstance(title, str) and all(isinstance(each, int) for each in (place, first, last))):
        raise ValueError("a pass is damaged")
    return KeptPass(place, outing, title, facts[outing], first, last, decode(figures, PassFigures))
