"""A recording takes the place of parts of itself: notes and marks go along, in its own seconds."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace
from datetime import timedelta

from slopebeat.library.integrity import to_us
from slopebeat.library.outings import COLUMNS, StoredOuting, marks_text, outing_of
from slopebeat.model.marks import Mark

SHORTEST_RANGE_S = 1.0
"""A range of a note that lies before the first record becomes its first second [project choice]."""


@dataclass(frozen=True)
class OutingMatch:
    """Outings kept of other files that an arrival is another recording of.

    Attributes
    ----------
    outing : identity of the one it is kept as.
    takes_over : it tells more, and its file takes the place of theirs; notes and marks go along.
    parts : identities of others that are parts of it and become one with that outing.
    marks : decided marks of all of them, in seconds of the arrival; None where nothing was decided.
    """

    outing: str
    takes_over: bool = False
    parts: tuple[str, ...] = ()
    marks: tuple[Mark, ...] | None = None


def take_over(
    connection: sqlite3.Connection,
    here: StoredOuting,
    fresh: StoredOuting,
    of_activities: int,
    match: OutingMatch,
) -> StoredOuting:
    """Keep ``fresh`` as the outing that is ``here``, in the transaction under way; its content is in it.

    Identity and load stay, and so does a title that is more than the name of a file. The files whose place is
    taken are remembered, so that they are passed over when they come again; their bytes go where no other
    outing came from them.
    """
    shift_s = seconds_between(fresh, here)
    until_s = here.load_until_s
    took = replace(
        fresh,
        identity=here.identity,
        title=fresh.title if here.file_name.startswith(here.title) else here.title,
        load_kg=here.load_kg,
        load_until_s=None if until_s is None else max(until_s + shift_s, 0.0),
        added_utc=here.added_utc,
    )
    for identity in (here.identity, *match.parts):
        row = connection.execute(
            f"SELECT {COLUMNS}, of_activities FROM outing WHERE identity = ?", (identity,)
        ).fetchone()
        if row is not None:
            _bring(connection, outing_of(row), row["of_activities"], took)
    _put(connection, took, of_activities)
    connection.execute(
        "DELETE FROM content WHERE hash = ?1 AND NOT EXISTS (SELECT 1 FROM outing WHERE content_hash = ?1)",
        (here.content_hash,),
    )
    _decide_marks(connection, took.identity, match)
    return took


def _put(connection: sqlite3.Connection, took: StoredOuting, of_activities: int) -> None:
    """Keep an outing as another recording of it, whose file is remembered no more as one passed over."""
    connection.execute(
        "UPDATE outing SET content_hash = ?, activity = ?, of_activities = ?, file_name = ?, start_us = ?, "
        "utc_offset_s = ?, sport = ?, on_bike = ?, title = ?, load_until_s = ? WHERE identity = ?",
        (
            *(took.content_hash, took.activity, of_activities, took.file_name, to_us(took.start_utc)),
            *(took.utc_offset_s, took.sport, took.on_bike, took.title, took.load_until_s, took.identity),
        ),
    )
    connection.execute(
        "DELETE FROM duplicate WHERE outing = ? AND content_hash = ? AND activity = ?",
        (took.identity, took.content_hash, took.activity),
    )


def _decide_marks(connection: sqlite3.Connection, outing: str, match: OutingMatch) -> None:
    """Keep the marks of all that met, in place of those of one."""
    connection.execute("DELETE FROM decided_marks WHERE outing = ?", (outing,))
    if match.marks is not None:
        connection.execute("INSERT INTO decided_marks VALUES (?, ?)", (outing, marks_text(match.marks)))


def seconds_between(one: StoredOuting, other: StoredOuting) -> float:
    """What is to be added to seconds of ``other`` to have them in those of ``one``."""
    return (other.start_utc - one.start_utc) / timedelta(seconds=1)


def shifted_range(
    start_s: float | None, end_s: float | None, shift_s: float
) -> tuple[float | None, float | None]:
    """A note's place in the seconds of another recording, never before its first record."""
    if start_s is None:
        return None, None
    start_s = max(start_s + shift_s, 0.0)
    return start_s, None if end_s is None else max(end_s + shift_s, start_s + SHORTEST_RANGE_S)


def _bring(
    connection: sqlite3.Connection, part: StoredOuting, of_activities: int, took: StoredOuting
) -> None:
    """Notes and remembered files of a part go to the outing it is a part of; a part kept beside it goes."""
    shift_s = seconds_between(took, part)
    notes = connection.execute(
        "SELECT identity, start_s, end_s FROM note WHERE outing = ?", (part.identity,)
    ).fetchall()
    for identity, start_s, end_s in notes:
        connection.execute(
            "UPDATE note SET outing = ?, start_s = ?, end_s = ? WHERE identity = ?",
            (took.identity, *shifted_range(start_s, end_s, shift_s), identity),
        )
    connection.execute(
        "UPDATE OR IGNORE duplicate SET outing = ? WHERE outing = ?", (took.identity, part.identity)
    )
    connection.execute(
        "INSERT OR IGNORE INTO duplicate VALUES (?, ?, ?, ?)",
        (took.identity, part.content_hash, part.activity, of_activities),
    )
    if part.identity != took.identity:
        connection.execute("DELETE FROM outing WHERE identity = ?", (part.identity,))
