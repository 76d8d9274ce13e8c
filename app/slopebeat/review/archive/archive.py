"""Everything of one athlete as one file another person can open, and back again.

A ZIP file: ``archive.json`` with the athlete, the bands and the outings with what was decided about them,
and each original recording under ``originals/`` by the SHA-256 of its bytes. Nothing is ever unpacked to
disk, and no name in an archive becomes the name of a file.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from slopebeat.disk.reading import open_regular
from slopebeat.files.source import MAX_BYTES
from slopebeat.library.integrity import timely
from slopebeat.library.old.basis import basis_of_old
from slopebeat.library.outings import StoredOuting
from slopebeat.model.basis import Basis
from slopebeat.model.codec import Instant, Undecodable, convert, decode, encode, to_builtins
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.marks import Mark
from slopebeat.model.measures import counted
from slopebeat.model.notes import Note
from slopebeat.model.people import Athlete, BandPeriod, Dated
from slopebeat.model.recording import content_hash

FORMAT, VERSION = "slopebeat archive", 4
"""What the file calls itself; an archive of a later version is refused in a sentence.

Version 1 kept sentences on how a band was found, and not which outings are left out of what is learnt. Up to
version 2 the author of a note went by another name, and its outing and moment were said again. Up to
version 3 nothing had dates but bands, and no outing was ticked off.
"""

MOST_MEMBERS = 50_000
"""Most files in an archive; twenty years of daily outings are 7,300 [project choice]."""

MOST_LIST_BYTES = 256 * 1024**2
"""Largest ``archive.json``, unpacked [project choice]."""

MOST_BYTES = 8 * 1024**3
"""Most bytes unpacked from one archive in all [project choice]."""

LONGEST_TEXT = 100_000
"""Longest text of one value, in characters [project choice]."""

_UNPACKING = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, NotImplementedError, OSError)
_LIST = "archive.json"
_ORIGINAL = re.compile(r"originals/([0-9a-f]{64})")
_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


class DamagedArchive(UserError):
    """An archive that does not hold what it must; nothing of it was brought in."""


@dataclass(frozen=True)
class ArchivedOuting:
    """An outing with the marks decided on (None: cleaning's own) and all its notes, deleted ones too.

    ``teaches`` is False for one left out of what is learnt; ``reviewed_utc`` is when it was ticked off.
    """

    outing: StoredOuting
    marks: tuple[Mark, ...] | None = None
    notes: tuple[Note, ...] = ()
    teaches: bool = True
    reviewed_utc: Instant | None = None


@dataclass(frozen=True)
class Archive:
    """What an archive holds, without the bytes of the recordings."""

    athlete: Athlete
    bands: tuple[BandPeriod, ...] = ()
    outings: tuple[ArchivedOuting, ...] = ()
    dated: Dated = field(default_factory=Dated)


def put_archive(archive: Archive, original: Callable[[StoredOuting], bytes], target: IO[bytes]) -> None:
    """Write an archive; ``original`` gives the bytes an outing came from, asked for once per file."""
    text = encode({"format": FORMAT, "version": VERSION, **to_builtins(archive)})
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(zipfile.ZipInfo(_LIST), text, zipfile.ZIP_DEFLATED)
        done: set[str] = set()
        for each in archive.outings:
            digest = each.outing.content_hash
            if digest not in done:
                entry = zipfile.ZipInfo(f"originals/{digest}")
                packed.writestr(entry, original(each.outing), zipfile.ZIP_DEFLATED)
                done.add(digest)


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
            text = tr("The archive is damaged or locked: {reason}.").format(reason=problem)
            raise DamagedArchive(text) from problem
        if len(data) > most:
            raise DamagedArchive(
                tr("The archive unpacks to far more than recordings hold, and was not opened.")
            )
        self._left -= len(data)
        return data

    def _json(self) -> Any:
        try:
            return decode(self._read(_LIST, MOST_LIST_BYTES), dict[str, Any])
        except Undecodable as problem:
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
        text = tr("{file} is not an archive of this program.").format(file=path.name)
        raise UserError(text) from problem
    except OSError as problem:
        text = tr("{file} could not be opened: {reason}.")
        raise UserError(text.format(file=path.name, reason=problem.strerror or problem)) from problem
    with packed:
        yield OpenArchive(packed)


def _members(infos: Iterable[zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
    """The entries by name; anything an archive of this program does not hold is refused."""
    found: dict[str, zipfile.ZipInfo] = {}
    for info in infos:
        name = info.orig_filename
        if len(found) >= MOST_MEMBERS:
            text = tr("The archive holds more than {count} files and was not opened.")
            raise DamagedArchive(text.format(count=counted(MOST_MEMBERS)))
        if name in found or (name != _LIST and not _ORIGINAL.fullmatch(name)):
            shown = "".join(char if char.isprintable() else "?" for char in name[:60])
            text = tr("This is not an archive of this program: it holds {name}.")
            raise DamagedArchive(text.format(name=repr(shown)))
        found[name] = info
    if _LIST not in found:
        text = tr("This is not an archive of this program: it holds no {name}.")
        raise DamagedArchive(text.format(name=_LIST))
    return found


def _archive(values: Any) -> Archive:
    if not isinstance(values, dict) or values.get("format") != FORMAT:
        raise DamagedArchive(tr("This is not an archive of this program."))
    version = values.get("version")
    if type(version) is not int or version < 1:
        raise _wrong("version")
    if version > VERSION:
        text = tr(
            "The archive is of version {version}, later than this program knows ({known}); update the "
            "program."
        )
        raise DamagedArchive(text.format(version=version, known=VERSION))
    _check_texts(values)
    for number, period in enumerate(_rows(values.get("bands"))):
        _read_basis(period, version, f"bands[{number}].band.basis")
    if version < 3:
        for note in (note for outing in _rows(values.get("outings")) for note in _rows(outing.get("notes"))):
            note["author"] = note.pop("author_role", None)
    try:
        archive = convert(values, Archive)
    except Undecodable as problem:
        raise _wrong(problem.field, problem.unknown) from problem
    except UserError as problem:  # of a note that does not hold what its kind needs
        raise DamagedArchive(str(_wrong("notes")), str(problem)) from problem
    _check_identities(archive)
    return archive


def _wrong(field: str, unknown: bool = False) -> DamagedArchive:
    text = tr("The archive is damaged: {field} is not what it should be.")
    if unknown:
        text = tr(
            "The archive holds something as {field} that this version does not know; update the program."
        )
    return DamagedArchive(text.format(field=field or _LIST))


def _rows(values: Any) -> list[dict[str, Any]]:
    return [row for row in values if isinstance(row, dict)] if isinstance(values, list) else []


def _read_basis(period: dict[str, Any], version: int, field: str) -> None:
    """Put in how a band was found: a key with numbers, or the sentences of the first version."""
    band = period.get("band")
    if not isinstance(band, dict):
        return
    try:
        if version > 1:
            band["basis"] = Basis.of_values(band["basis"])
        else:
            texts = band["method"], band["basis"], period["how"], period["details"]
            band["basis"] = basis_of_old(*convert(texts, tuple[str, str, str, str]))
    except (ValueError, TypeError, KeyError) as problem:
        raise _wrong(field) from problem


def _check_texts(values: Any) -> None:
    """Refuse what could not be stored or shown, and what is longer than any that was ever typed."""
    within = [("", values)]
    while within:
        place, value = within.pop()
        if isinstance(value, dict):
            within += [(f"{place}.{name}", item) for name, item in value.items()]
        elif isinstance(value, list):
            within += [(f"{place}[{number}]", item) for number, item in enumerate(value)]
        elif isinstance(value, str) and ("\0" in value or len(value) > LONGEST_TEXT):
            raise _wrong(place.lstrip("."))


def _check_identities(archive: Archive) -> None:
    outings = [each.outing for each in archive.outings]
    notes = [note for each in archive.outings for note in each.notes]
    identities = [each.identity for each in outings] + [each.identity for each in notes]
    identities += [each.identity for each in archive.dated.phases]
    for identity in (archive.athlete.identity, *identities):
        if not _UUID.fullmatch(identity):
            raise DamagedArchive(tr("The archive is damaged: an identity in it is none."))
    for outing in outings:
        if not _ORIGINAL.fullmatch(f"originals/{outing.content_hash}"):
            raise DamagedArchive(tr("The archive is damaged: it names a recording in a way it does not."))
    if len({outing.identity for outing in outings}) != len(outings):
        raise DamagedArchive(tr("The archive is damaged: it holds an outing twice."))
    try:
        for each in archive.outings:
            timely(each.outing, each.outing.start_utc, each.outing.utc_offset_s)
            timely(each, each.reviewed_utc or each.outing.start_utc, None)
        for note in notes:
            for moment in (value for value in vars(note).values() if isinstance(value, datetime)):
                timely(note, moment, None)
    except ValueError as problem:
        raise DamagedArchive(tr("The archive is damaged: a time in it is none.")) from problem
