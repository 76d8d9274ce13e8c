"""Outings: what they are, the original file of each, and what the user decided about them.

An original file's bytes are packed for keeping and come back exactly.
"""

from __future__ import annotations

import math
import sqlite3
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from msgspec import Meta

from slopebeat.library.connections import LibraryTable
from slopebeat.library.faults import LibraryFault
from slopebeat.library.integrity import UNREADABLE, Damage, checked, from_us, shown, timely
from slopebeat.model.codec import Instant, Undecodable, decode, encode
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.message import Message, message
from slopebeat.model.people import Ground
from slopebeat.model.recording import content_hash, local_day, shown_title

_LEVEL = 3  # of zlib: six takes nearly twice as long and saves a twenty-eighth [project choice]


@dataclass(frozen=True)
class Original:
    """A file's content: its SHA-256 in hexadecimal, its length, and the bytes packed by zlib."""

    content_hash: str
    size_bytes: int
    packed: bytes


def packed(data: bytes, known_hash: str | None = None) -> Original:
    """Pack a file's bytes for keeping; ``known_hash`` is their hash where that was made before."""
    return Original(known_hash or content_hash(data), len(data), zlib.compress(data, _LEVEL))


def original_bytes(original: Original) -> bytes:
    """The file's bytes back.

    Raises
    ------
    LibraryFault
        When they are not what was put in: the library is damaged.
    """
    try:
        # What a damaged row unpacks to may be far more than was put in.
        data = zlib.decompressobj().decompress(original.packed, original.size_bytes + 1)
    except (zlib.error, TypeError, ValueError, OverflowError, MemoryError):
        data = b""
    if len(data) != original.size_bytes or content_hash(data) != original.content_hash:
        raise LibraryFault(message("library.lost_original"))
    return data


def damaged_originals(connection: sqlite3.Connection) -> list[Message]:
    """A message for each stored file whose bytes are not those its key was made of."""
    problems = []
    keys = connection.execute("SELECT rowid, hash FROM content").fetchall()
    for rowid, key in keys:
        try:
            row = connection.execute("SELECT hash, size_bytes, packed FROM content WHERE rowid = ?", (rowid,))
            original_bytes(checked(Original(*row.fetchone())))
        except UNREADABLE:
            rows = connection.execute(
                "SELECT file_name FROM outing WHERE content_hash = ?", (key,)
            ).fetchall()
            names = ", ".join(shown(row[0]) for row in rows) or shown(key)
            problems.append(message("library.damaged_original", names=names))
    return problems


@dataclass(frozen=True)
class OutingFacts:
    """What a reader found out about one activity of a file.

    Attributes
    ----------
    activity : its index in the file, in order of time, from 0.
    start_utc : aware, UTC. utc_offset_s : local minus UTC where the file has it.
    sport : the word of :class:`slopebeat.model.recording.Sport`.
    """

    activity: Annotated[int, Meta(ge=0, le=10_000)]
    start_utc: Instant
    utc_offset_s: float | None
    sport: str
    on_bike: bool
    title: str


@dataclass(frozen=True)
class StoredOuting(OutingFacts):
    """An outing of an athlete in a library.

    Attributes
    ----------
    identity : a UUID in text. athlete : identity of the athlete.
    content_hash : SHA-256 of the original file. file_name : the file's name without folders.
    load_kg : load carried, until ``load_until_s`` seconds from the start, or throughout where that is None.
    added_utc : when it came into the library.
    """

    identity: str
    athlete: str
    content_hash: str
    file_name: str
    load_kg: Annotated[float, Meta(ge=0.0, le=1000.0)]
    load_until_s: Annotated[float, Meta(ge=0.0)] | None
    added_utc: Instant

    @property
    def ground(self) -> Ground:
        return Ground.BIKE if self.on_bike else Ground.FOOT

    def local_day(self) -> date:
        """Day of the outing where it happened, else by this computer's clock."""
        return local_day(self.start_utc, self.utc_offset_s)


def title_of_row(title: object, file_name: object) -> Any:
    """The title of an outing as it is shown, from its columns; what is damaged is left for the check."""
    both = isinstance(title, str) and isinstance(file_name, str)
    return shown_title(str(title), str(file_name)) if both else title


COLUMNS = (
    "activity, start_us, utc_offset_s, sport, on_bike, title, identity, athlete, content_hash, file_name, "
    "load_kg, load_until_s, added_us"
)
"""In the order of the fields of :class:`StoredOuting`."""

OUTING_COLUMNS = ", ".join(f"outing.{name}" for name in COLUMNS.split(", "))


def outing_of(row: sqlite3.Row | tuple[object, ...]) -> StoredOuting:
    """The outing of a row whose first columns are :data:`COLUMNS`.

    Raises
    ------
    LibraryFault
        Naming the row, when it is damaged.
    """
    values = list(row[:13])
    try:
        values[1], values[4], values[12] = from_us(values[1]), bool(values[4]), from_us(values[12])
        outing = checked(StoredOuting(*values))
        return timely(outing, outing.start_utc, outing.utc_offset_s)
    except UNREADABLE as problem:
        raise LibraryFault(lost_outing(row)) from problem


def lost_outing(row: sqlite3.Row | tuple[object, ...]) -> Message:
    """What is said of an outing that cannot be read, by the name of its file."""
    return message("library.lost_outing", file=shown(row[9]))


class OutingTable(LibraryTable):
    """The outings of a library."""

    def of(self, athlete: str) -> tuple[StoredOuting, ...]:
        """All outings of an athlete, the earliest first."""
        query = f"SELECT {COLUMNS} FROM outing WHERE athlete = ? ORDER BY start_us, identity"
        return tuple(self._readable(query, (athlete,), outing_of, lost_outing))

    def count(self, athlete: str | None = None) -> int:
        """How many outings an athlete has, or all athletes together."""
        return self._count("outing WHERE athlete = ?1 OR ?1 IS NULL", athlete)

    def get(self, identity: str) -> StoredOuting:
        """One outing; KeyError when there is none of this identity."""
        return outing_of(self._one(f"SELECT {COLUMNS} FROM outing WHERE identity = ?", identity))

    def original(self, identity: str) -> bytes:
        """The exact bytes of the file an outing came from; KeyError when there is no such outing.

        Raises
        ------
        LibraryFault
            When the bytes are not those that were put in.
        """
        query = (
            "SELECT hash, size_bytes, packed FROM content JOIN outing ON content_hash = hash "
            "WHERE identity = ?"
        )
        return original_bytes(Original(*self._one(query, identity)))

    def remove(self, identities: Iterable[str]) -> None:
        """Remove outings with their notes, and each file no other outing came from."""
        self._write_all("DELETE FROM outing WHERE identity = ?", [(i,) for i in identities])

    def set_load(self, identity: str, load_kg: float, load_until_s: float | None = None) -> None:
        """Load carried, until a time from the start or (None) throughout."""
        if not (math.isfinite(load_kg) and load_kg >= 0.0):
            raise ValueError("a load is finite and not negative")
        statement = "UPDATE outing SET load_kg = ?, load_until_s = ? WHERE identity = ?"
        self._write(statement, float(load_kg), load_until_s, identity)

    def set_title(self, identity: str, title: str) -> None:
        self._set_outings("title", {identity: title})

    def set_teaches(self, identities: Iterable[str], teaches: bool) -> None:
        """Let outings teach what is to be expected of others, or leave them out of what is learnt."""
        self._set_outings("teaches", dict.fromkeys(identities, teaches))

    def left_out(self, athlete: str) -> frozenset[str]:
        """Identities of an athlete's outings that the user left out of what is learnt."""
        query = "SELECT identity FROM outing WHERE athlete = ? AND NOT teaches"
        return frozenset(row[0] for row in self._rows(query, athlete))

    def marks(self, identity: str) -> tuple[Mark, ...] | None:
        """The marks the user decided on; None while nothing was decided and cleaning's proposals hold."""
        rows = self._rows("SELECT marks FROM decided_marks WHERE outing = ?", identity)
        return readable_marks(self._connections.damage, rows[0]["marks"]) if rows else None

    def set_marks(self, identity: str, marks: tuple[Mark, ...] | None) -> None:
        """Keep the marks decided on; None goes back to what cleaning proposes."""
        if marks is None:
            self._write("DELETE FROM decided_marks WHERE outing = ?", identity)
        else:
            self._write("INSERT OR REPLACE INTO decided_marks VALUES (?, ?)", identity, marks_text(marks))

    def _one(self, query: str, identity: str) -> sqlite3.Row:
        rows = self._rows(query, identity)
        if not rows:
            raise KeyError(identity)
        found: sqlite3.Row = rows[0]
        return found


_MarkRow = tuple[float, float, Channel, Reason, MarkState]


def marks_text(marks: tuple[Mark, ...]) -> str:
    """Marks as JSON text, each a list: results are stale when it changes."""
    return encode([[m.start_s, m.end_s, m.channel, m.reason, m.state] for m in marks])


def readable_marks(damage: Damage, text: str) -> tuple[Mark, ...] | None:
    """The marks, or None where they are damaged, which is said: cleaning's proposals then hold."""
    try:
        return marks_of(text)
    except UNREADABLE as problem:
        known = problem.messages if isinstance(problem, LibraryFault) else ()
        damage.add(*(known or [message("library.lost_marks")]))
        return None


def marks_of(text: str) -> tuple[Mark, ...]:
    """The marks back from their text."""
    try:
        return tuple(Mark(*row) for row in decode(text, tuple[_MarkRow, ...]))
    except Undecodable as problem:
        if not problem.unknown:
            raise
        raise LibraryFault(message("library.unknown_mark", unknown=str(problem))) from None
