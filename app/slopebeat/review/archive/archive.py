"""Everything of one athlete as one file another person can open, and back again.

A ZIP file: ``archive.json`` with the athlete, the bands and the outings with what was decided about them,
and each original recording under ``originals/`` by the SHA-256 of its bytes. Nothing is ever unpacked to
disk, and no name in an archive becomes the name of a file.
"""

from __future__ import annotations

import json
import re
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from datetime import date, datetime
from enum import Enum
from pathlib import Path
from typing import IO, Any

from slopebeat.disk.reading import open_regular
from slopebeat.files.source import MAX_BYTES
from slopebeat.library.notes import Note
from slopebeat.library.outings import StoredOuting
from slopebeat.model.bands import Band, BandMethod
from slopebeat.model.basis import Basis
from slopebeat.model.content import content_hash
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.measures import counted
from slopebeat.model.old_basis import basis_of_old
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.review.archive.fields import DamagedArchive, Fields

FORMAT, VERSION = "slopebeat archive", 2
"""What the file calls itself; an archive of a later version is refused in a sentence.

Version 1 kept sentences on how a band was found, and not which outings are left out of what is learnt.
"""

MOST_MEMBERS = 50_000
"""Most files in an archive; twenty years of daily outings are 7,300 [project choice]."""

MOST_LIST_BYTES = 256 * 1024**2
"""Largest ``archive.json``, unpacked [project choice]."""

MOST_BYTES = 8 * 1024**3
"""Most bytes unpacked from one archive in all [project choice]."""

_UNPACKING = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, NotImplementedError, OSError)
_LIST = "archive.json"
_ORIGINAL = re.compile(r"originals/([0-9a-f]{64})")
_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass(frozen=True)
class ArchivedOuting:
    """An outing with the marks decided on (None: cleaning's own) and all its notes, deleted ones too.

    ``teaches`` is False for one left out of what is learnt.
    """

    outing: StoredOuting
    marks: tuple[Mark, ...] | None = None
    notes: tuple[Note, ...] = ()
    teaches: bool = True


@dataclass(frozen=True)
class Archive:
    """What an archive holds, without the bytes of the recordings."""

    athlete: Athlete
    bands: tuple[BandPeriod, ...] = ()
    outings: tuple[ArchivedOuting, ...] = ()


def put_archive(archive: Archive, original: Callable[[StoredOuting], bytes], target: IO[bytes]) -> None:
    """Write an archive; ``original`` gives the bytes an outing came from, asked for once per file."""
    text = json.dumps({"format": FORMAT, "version": VERSION, **_plain(archive)}, allow_nan=False)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(zipfile.ZipInfo(_LIST), text, zipfile.ZIP_DEFLATED)
        done: set[str] = set()
        for each in archive.outings:
            digest = each.outing.content_hash
            if digest not in done:
                entry = zipfile.ZipInfo(f"originals/{digest}")
                packed.writestr(entry, original(each.outing), zipfile.ZIP_DEFLATED)
                done.add(digest)


def _plain(value: Any) -> Any:
    """JSON values of dataclasses: enumerations by name, times as ISO 8601."""
    if isinstance(value, Enum):
        return value.name
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, Basis):
        return value.values
    if hasattr(value, "__dataclass_fields__"):
        return {each.name: _plain(getattr(value, each.name)) for each in fields(value)}
    return value


class OpenArchive:
    """An archive open for reading; :attr:`archive` was checked, originals are checked when asked for."""

    def __init__(self, packed: zipfile.ZipFile) -> None:
        self._packed = packed
        self._left = MOST_BYTES
        self._members = _members(packed.infolist())
        self.archive = _archive(self._json())
        for each in self.archive.outings:
            if f"originals/{each.outing.content_hash}" not in self._members:
                raise DamagedArchive(tr("The archive is damaged: a recording it lists is not in it."))

    def original(self, digest: str) -> bytes:
        """The bytes of a recording, exactly as they went in."""
        data = self._read(f"originals/{digest}", MAX_BYTES)
        if content_hash(data) != digest:
            raise DamagedArchive(
                tr("The archive is damaged: a recording in it is not the one that was put in.")
            )
        return data

    def _read(self, name: str, most: int) -> bytes:
        # What an entry says of its size is not believed: reading stops at the limit.
        most = min(most, self._left)
        try:
            with self._packed.open(self._members[name]) as stream:
                data = stream.read(most + 1)
        except _UNPACKING as problem:
            told = tr("The archive is damaged or locked: {reason}.").format(reason=problem)
            raise DamagedArchive(told) from problem
        if len(data) > most:
            raise DamagedArchive(
                tr("The archive unpacks to far more than recordings hold, and was not opened.")
            )
        self._left -= len(data)
        return data

    def _json(self) -> Any:
        try:
            return json.loads(self._read(_LIST, MOST_LIST_BYTES))
        except (ValueError, RecursionError) as problem:
            raise DamagedArchive(tr("The archive is damaged: its list cannot be read.")) from problem


def is_archive(path: Path) -> bool:
    """Whether a file is an archive of this program, by what lies in it and not by its name."""
    try:
        with open_regular(path) as stream, zipfile.ZipFile(stream) as packed:
            names = packed.namelist()
    except (*_UNPACKING, UserError, ValueError):
        return False
    return _LIST in names and all(name == _LIST or _ORIGINAL.fullmatch(name) for name in names)


@contextmanager
def open_archive(path: Path) -> Iterator[OpenArchive]:
    """Open an archive for reading.

    Raises
    ------
    UserError
        With a sentence, when it is none, is damaged, of a later version, or hostile.
    """
    try:
        packed = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as problem:
        told = tr("{file} is not an archive of this program.").format(file=path.name)
        raise UserError(told) from problem
    except OSError as problem:
        told = tr("{file} could not be opened: {reason}.")
        raise UserError(told.format(file=path.name, reason=problem.strerror or problem)) from problem
    with packed:
        yield OpenArchive(packed)


def _members(infos: Iterable[zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
    """The entries by name; anything an archive of this program does not hold is refused."""
    found: dict[str, zipfile.ZipInfo] = {}
    for info in infos:
        name = info.orig_filename
        if len(found) >= MOST_MEMBERS:
            told = tr("The archive holds more than {count} files and was not opened.")
            raise DamagedArchive(told.format(count=counted(MOST_MEMBERS)))
        if name in found or (name != _LIST and not _ORIGINAL.fullmatch(name)):
            shown = "".join(char if char.isprintable() else "?" for char in name[:60])
            told = tr("This is not an archive of this program: it holds {name}.")
            raise DamagedArchive(told.format(name=repr(shown)))
        found[name] = info
    if _LIST not in found:
        told = tr("This is not an archive of this program: it holds no {name}.")
        raise DamagedArchive(told.format(name=_LIST))
    return found


def _archive(values: Any) -> Archive:
    top = Fields(values, mark("the archive"))
    if top.text("format") != FORMAT:
        raise DamagedArchive(tr("This is not an archive of this program."))
    version = top.whole("version", 1, 10**6)
    if version > VERSION:
        told = tr(
            "The archive is of version {version}, later than this program knows ({known}); update the "
            "program."
        )
        raise DamagedArchive(told.format(version=version, known=VERSION))
    athlete = _athlete(top.inner("athlete", mark("the athlete")))
    bands = tuple(
        _band(Fields(item, mark("a band")), athlete.identity, version) for item in top.items("bands")
    )
    outings = tuple(
        _archived(Fields(item, mark("an outing")), athlete.identity, version) for item in top.items("outings")
    )
    if len({each.outing.identity for each in outings}) != len(outings):
        raise DamagedArchive(tr("The archive is damaged: it holds an outing twice."))
    return Archive(athlete, bands, outings)


def _identity(fields: Fields, name: str = "identity") -> str:
    text = fields.text(name)
    if not _UUID.fullmatch(text):
        raise DamagedArchive(tr("The archive is damaged: an identity in it is none."))
    return text


def _athlete(at: Fields) -> Athlete:
    return Athlete(
        _identity(at),
        at.text("name"),
        at.maybe_whole("birth_year", 1900, 2200),
        at.number("body_mass_kg", 1.0, 1000.0),
        at.number("bike_mass_kg", 0.0, 1000.0),
        at.maybe_whole("sessions_per_week", 0, 1000),
        at.maybe_number("minutes_per_week", 0.0, 1e5),
    )


def _band(at: Fields, athlete: str, version: int) -> BandPeriod:
    inner = at.inner("band", mark("a band"))
    edges = (inner.whole("lower_bpm", 1, 300), inner.whole("upper_bpm", 1, 300))
    method = inner.word("method", BandMethod)
    if version == 1:
        sentences = (inner.text("basis"), at.text("how"), at.text("details"))
        basis = basis_of_old(method.name, *sentences)
    else:
        basis = inner.basis("basis")
    return BandPeriod(athlete, at.word("ground", Ground), at.day("from_day"), Band(*edges, method, basis))


def _archived(at: Fields, athlete: str, version: int) -> ArchivedOuting:
    outing = _outing(at.inner("outing", mark("an outing")), athlete)
    marks = None
    if not at.absent("marks"):
        marks = tuple(_mark(Fields(item, mark("a mark"))) for item in at.items("marks"))
    notes = tuple(_note(Fields(item, mark("a note")), outing.identity) for item in at.items("notes"))
    return ArchivedOuting(outing, marks, notes, at.flag("teaches") if version > 1 else True)


def _outing(at: Fields, athlete: str) -> StoredOuting:
    digest = at.text("content_hash")
    if not _ORIGINAL.fullmatch(f"originals/{digest}"):
        raise DamagedArchive(tr("The archive is damaged: it names a recording in a way it does not."))
    return StoredOuting(
        at.whole("activity", 0, 10_000),
        at.time("start_utc"),
        at.maybe_number("utc_offset_s", -86_399.0, 86_399.0),
        at.text("sport"),
        at.flag("on_bike"),
        at.text("title"),
        _identity(at),
        athlete,
        digest,
        at.text("file_name"),
        at.number("load_kg", 0.0, 1000.0),
        at.maybe_number("load_until_s", 0.0),
        at.time("added_utc"),
    )


def _mark(at: Fields) -> Mark:
    words = at.word("channel", Channel), at.word("reason", Reason), at.word("state", MarkState)
    return Mark(at.number("start_s"), at.number("end_s"), *words)


def _note(at: Fields, outing: str) -> Note:
    return Note(
        _identity(at),
        outing,
        at.time("time_utc"),
        at.text("kind"),
        at.text("author_role"),
        at.text("text"),
        at.time("created_utc"),
        at.time("changed_utc"),
        at.maybe_number("value"),
        at.maybe_number("start_s", 0.0),
        at.maybe_number("end_s", 0.0),
        at.maybe_time("deleted_utc"),
    )
