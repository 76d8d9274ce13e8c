"""Results kept so that months open at once, and which of them no longer hold."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date

from slopebeat.library.connections import LibraryTable
from slopebeat.library.integrity import UNREADABLE, checked, lost, timely
from slopebeat.library.notes import NoteTable, where_noted
from slopebeat.library.outings import (
    OUTING_COLUMNS,
    StoredOuting,
    lost_outing,
    marks_text,
    outing_of,
    readable_marks,
    title_of_row,
)
from slopebeat.library.ways import put_way
from slopebeat.model.codec import decode, encode
from slopebeat.model.evidence import OutingEvidence, OutingSummary
from slopebeat.model.marks import Mark
from slopebeat.model.notes import CONDITIONS, Note, NoteKind, by_writing
from slopebeat.model.people import (
    Aim,
    Athlete,
    BandPeriod,
    Dated,
    Ground,
    Prescription,
    band_in_force,
    body_mass_in_force,
    prescription_in_force,
)
from slopebeat.model.way import Way


@dataclass(frozen=True)
class Result:
    """A summary with what it came from.

    Attributes
    ----------
    version : of the computation; a later one makes the result stale.
    input_key : :func:`input_key` of what the outing was reviewed with.
    evidence : what the outing teaches for later ones, None where that was not computed.
    way : where it went, which the library keeps in a table of its own; None where that was not computed.
    """

    summary: OutingSummary
    version: int
    input_key: str
    evidence: OutingEvidence | None = None
    way: Way | None = None


@dataclass(frozen=True, eq=False)
class KeptEvidence:
    """What an outing teaches, and whether the user lets it (``teaches``)."""

    identity: str
    title: str
    teaches: bool
    evidence: OutingEvidence


@dataclass(frozen=True)
class StaleOuting:
    """An outing to review again, with what to review it with now; ``notes`` of ``CONDITIONS`` only."""

    outing: StoredOuting
    aim: Aim
    marks: tuple[Mark, ...] | None
    input_key: str
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True)
class Inputs:
    """What an athlete's outings are reviewed with: masses and bands in force over time, and what is dated."""

    athlete: Athlete
    periods: tuple[BandPeriod, ...] = field(default=())
    dated: Dated = field(default_factory=Dated)

    def prescribed(self, day: date) -> Prescription:
        """The prescription in force on a day."""
        return prescription_in_force(self.athlete, self.dated, day)

    def aim(self, ground: Ground, day: date, load_kg: float = 0.0, load_until_s: float | None = None) -> Aim:
        """The aim of an outing on ``day``, its local day, on ``ground``."""
        return Aim(
            band=band_in_force(self.periods, ground, day),
            body_mass_kg=body_mass_in_force(self.athlete, self.dated, day),
            load_kg=load_kg,
            bike_mass_kg=self.athlete.bike_mass_kg,
            load_until_s=load_until_s,
        )

    def aim_of(self, outing: StoredOuting) -> Aim:
        """The aim of an outing that is in the library."""
        return self.aim(outing.ground, outing.local_day(), outing.load_kg, outing.load_until_s)


def input_key(
    aim: Aim, ground: Ground, marks: tuple[Mark, ...] | None = None, notes: Iterable[Note] = ()
) -> str:
    """A hash of everything of ``aim``, ``marks`` and ``notes`` a summary depends on, and of nothing else.

    How the band was found and the target change no figure of a summary, nor does a bike on foot; of the
    notes those on load, sport and declared ground and, on a bike, those with an air temperature do.
    """
    band, loaded = aim.band, aim.load_kg > 0.0
    parts: list[object] = [
        None if band is None else [band.lower_bpm, band.upper_bpm],
        float(aim.body_mass_kg),
        float(aim.load_kg),
        float(aim.load_until_s) if loaded and aim.load_until_s is not None else None,
        float(aim.bike_mass_kg) if ground is Ground.BIKE else None,
        None if marks is None else marks_text(marks),
    ]
    counting = _counting(notes, ground)
    if counting:
        parts.append(counting)  # Only then: keys of outings without such notes stay as they were.
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()


def _counting(notes: Iterable[Note], ground: Ground) -> list[list[object]]:
    """What the notes say that enters work rates, in the order in which they were written."""
    kinds = [kind for kind in CONDITIONS if ground is Ground.BIKE or kind is not NoteKind.WEATHER]
    here = [n for n in notes if n.kind in kinds and n.value is not None and n.deleted_utc is None]
    here.sort(key=by_writing)
    return [
        [n.kind.name, *(v if v is None else float(v) for v in (n.value, n.start_s, n.end_s))] for n in here
    ]


def put_result(connection: sqlite3.Connection, outing: str, result: Result) -> None:
    """Keep a result in the transaction under way; an earlier one is replaced."""
    text = encode(result.summary)
    taught = None if result.evidence is None else encode(result.evidence)
    connection.execute(
        "INSERT OR REPLACE INTO result (outing, version, input_key, summary, evidence) "
        "VALUES (?, ?, ?, ?, ?)",
        (outing, result.version, result.input_key, text, taught),
    )
    put_way(connection, outing, result.way)


class ResultTable(LibraryTable):
    """The results kept in a library."""

    def put(self, outing: str, result: Result) -> bool:
        """Keep a result; False when the outing is gone, as it may be by the time its review is done."""
        with self._connections.writing() as connection:
            here = connection.execute("SELECT 1 FROM outing WHERE identity = ?", (outing,)).fetchone()
            if here is not None:
                put_result(connection, outing, result)
        return here is not None

    def get(self, outing: str) -> Result | None:
        """The result kept of an outing, stale or not, without its way."""
        rows = self._rows("SELECT summary, version, input_key, evidence FROM result WHERE outing = ?", outing)
        try:
            made = [Result(_summary(row[0]), row[1], row[2], _evidence(row[3])) for row in rows]
            return checked(made[0]) if made else None
        except UNREADABLE:
            return None  # It is computed anew, as one that is missing.

    def summaries(self, athlete: str) -> dict[str, OutingSummary]:
        """The summaries kept of an athlete's outings by identity of the outing, the earliest first.

        Stale ones are among them: an old figure shows until the new one is computed.
        """
        query = (
            "SELECT outing, summary, title, file_name, day FROM result JOIN outing ON identity = outing "
            "WHERE athlete = ? ORDER BY start_us, identity"
        )
        return dict(self._readable(query, (athlete,), _listed_summary, _lost))

    def evidence(self, athlete: str) -> tuple[KeptEvidence, ...]:
        """What an athlete's outings teach, the earliest first; those without a record are left out."""
        query = (
            "SELECT identity, title, file_name, teaches, evidence FROM result "
            "JOIN outing ON identity = outing WHERE athlete = ? AND evidence IS NOT NULL "
            "ORDER BY start_us, identity"
        )
        return tuple(self._readable(query, (athlete,), _kept_evidence, _lost))

    def stale(self, version: int, inputs: Inputs) -> tuple[StaleOuting, ...]:
        """Outings of an athlete whose result is missing, of another version, or other aim, marks or notes."""
        query = (
            f"SELECT {OUTING_COLUMNS}, version, input_key, marks, summary, evidence FROM outing "
            "LEFT JOIN result ON result.outing = identity "
            "LEFT JOIN decided_marks ON decided_marks.outing = identity "
            "WHERE athlete = ? ORDER BY start_us, identity"
        )
        whose, damage = inputs.athlete.identity, self._connections.damage
        rows = self._readable(query, (whose,), lambda row: (outing_of(row), row), lost_outing)
        notes = NoteTable(self._connections).by_outing(whose, CONDITIONS)
        found = []
        for outing, row in rows:
            here = notes.get(outing.identity, ())
            marks = None if row["marks"] is None else readable_marks(damage, row["marks"])
            noted = where_noted(outing, here)
            aim = inputs.aim_of(noted)
            key = input_key(aim, noted.ground, marks, here)
            if row["version"] != version or row["input_key"] != key or not _is_sound(row):
                found.append(StaleOuting(outing, aim, marks, key, here))
        return tuple(found)


def _is_sound(row: sqlite3.Row) -> bool:
    """Whether a result can be read back; one that cannot is computed anew."""
    try:
        _summary(row["summary"])
        _evidence(row["evidence"])
    except UNREADABLE:
        return False
    return True


_lost = lost("library.lost_result", title="title")


def _kept_evidence(row: sqlite3.Row) -> KeptEvidence:
    evidence = _evidence(row["evidence"])
    assert evidence is not None
    title = title_of_row(row["title"], row["file_name"])
    return checked(KeptEvidence(row["identity"], title, bool(row["teaches"]), evidence))


def _evidence(text: str | None) -> OutingEvidence | None:
    return None if text is None else decode(text, OutingEvidence)


def _listed_summary(row: sqlite3.Row) -> tuple[str, OutingSummary]:
    """Identity and summary of an outing, with the day it is a part of."""
    title = title_of_row(row["title"], row["file_name"])
    return row["outing"], checked(replace(_summary(row["summary"]), title=title, day=row["day"]))


def _summary(text: str) -> OutingSummary:
    """A summary from its text, with the title and day it had when it was made."""
    summary = decode(text, OutingSummary)
    return timely(summary, summary.start_utc, summary.utc_offset_s)
