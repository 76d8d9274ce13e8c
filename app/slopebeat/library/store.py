"""A library: one file that keeps athletes, their bands, outings, results and notes."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from types import TracebackType

from slopebeat.disk.leftovers import registered
from slopebeat.disk.places import library_path
from slopebeat.disk.writing import SQLITE_MAGIC, neighbour
from slopebeat.library.connections import Connections, connect, is_held, transaction
from slopebeat.library.copies import copy_to, keep_copy, kept_name, removed_at_end, side_files
from slopebeat.library.days import DayTable
from slopebeat.library.faults import DamagedOriginals, LibraryFault, as_library_faults
from slopebeat.library.imports import ImportTable
from slopebeat.library.migration import check_is_library, check_layout, empty_library, migrate
from slopebeat.library.notes import NotebookTable, NoteTable, TickTable
from slopebeat.library.outings import OutingTable, damaged_originals
from slopebeat.library.people import AthleteTable, BandTable, DatedTable
from slopebeat.library.places import PlaceTable
from slopebeat.library.results import Inputs, ResultTable, StaleOuting
from slopebeat.library.schema import APPLICATION_ID
from slopebeat.library.transfer import Transfers
from slopebeat.library.ways import WayTable
from slopebeat.model.message import Message, message
from slopebeat.model.people import Athlete

_HEAD_BYTES, _NO_LOG = 100, b"\x01\x01"
"""Length of a database's head, and its bytes 18 and 19 where no write-ahead log is kept; bytes 68 to 71 are
the application's number (SQLite file format, section 1.3)."""


class Library:
    """A library that is open. Any thread may use it; each has a connection of its own.

    Attributes
    ----------
    athletes, bands, dated, outings, imports, results, notes, ticks, notebooks, ways, places, days : tables
    damage : what could not be read of it so far.
    migrated_copy : the copy made of an older library before it was brought to the present layout.
    """

    def __init__(self, path: Path, migrated_copy: Path | None = None) -> None:
        """Use :meth:`open`, :meth:`create` or :meth:`open_or_create`."""
        self.path = path
        self.migrated_copy = migrated_copy
        self._connections = connections = Connections(path)
        self.damage = connections.damage
        self.athletes = AthleteTable(connections)
        self.bands = BandTable(connections)
        self.dated = DatedTable(connections)
        self.outings = OutingTable(connections)
        self.imports = ImportTable(connections)
        self.results = ResultTable(connections)
        self.notes = NoteTable(connections)
        self.ticks = TickTable(connections)
        self.notebooks = NotebookTable(connections)
        self.ways = WayTable(connections)
        self.places = PlaceTable(connections)
        self.days = DayTable(connections)
        self.transfers = Transfers(connections)

    @classmethod
    def open(cls, path: Path) -> Library:
        """Open a library that is there, bringing an older one to the present layout.

        Raises
        ------
        LibraryFault
            With a sentence, when there is none, it is none, it is of a later version, or the place may
            not be written to.
        """
        _check_file(path)
        with as_library_faults(path), closing(connect(path)) as connection:
            check_is_library(connection, path)
            with transaction(connection):
                pass  # Taking the right to write tells now, not at the first edit, of a read-only place.
            check_layout(connection, path)
            copy = migrate(connection, path)
            connection.execute("PRAGMA journal_mode = WAL")
        return cls(path, copy)

    @classmethod
    def create(cls, path: Path) -> Library:
        """Make an empty library, with its folder where that is missing; refuses a name that is taken.

        Raises
        ------
        LibraryFault
        """
        part = neighbour(path)
        with as_library_faults(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            with registered(part), removed_at_end(part):
                part.touch(mode=0o600, exist_ok=False)
                part.write_bytes(empty_library())
                with closing(connect(part)) as connection:
                    connection.execute("PRAGMA journal_mode = WAL")
                _publish(part, path)
        return cls.open(path)

    @classmethod
    def open_or_create(cls, path: Path | None = None) -> Library:
        """The library at a place, made where there is none; None is the default place."""
        place = path or library_path()
        if not place.exists():
            try:
                return cls.create(place)
            except LibraryFault:
                if not place.exists():  # else another process was quicker
                    raise
        return cls.open(place)

    @contextmanager
    def together(self) -> Iterator[None]:
        """All that this thread writes inside takes effect together, or none of it does."""
        with self._connections.writing():
            yield

    def inputs(self, athlete: str) -> Inputs:
        """What an athlete's outings are reviewed with; KeyError for an unknown athlete."""
        return self._inputs_of(self.athletes.get(athlete))

    def _inputs_of(self, athlete: Athlete) -> Inputs:
        return Inputs(athlete, self.bands.of(athlete.identity), self.dated.of(athlete.identity))

    def stale_outings(self, version: int, athlete: str | None = None) -> tuple[StaleOuting, ...]:
        """Outings of an athlete, or of all, whose kept result is not of this version or no longer holds."""
        athletes = self.athletes if athlete is None else (self.athletes.get(athlete),)
        inputs = (self._inputs_of(each) for each in athletes)
        return tuple(stale for each in inputs for stale in self.results.stale(version, each))

    def check(self, files: bool = False) -> tuple[Message, ...]:
        """What is damaged; empty when all is well. ``files`` unpacks every original too."""
        try:
            with self._connections.reading() as connection:
                found = [row[0] for row in connection.execute("PRAGMA integrity_check(20)")]
                problems = (
                    [] if found == ["ok"] else [message("library.damage_found", text=text) for text in found]
                )
                broken = connection.execute("PRAGMA foreign_key_check").fetchall()
                if broken:
                    problems.append(message("library.orphans", count=len(broken)))
                if files:
                    problems += damaged_originals(connection)
        except LibraryFault as fault:
            return fault.messages
        return tuple(problems)

    def backup(self, target: Path) -> None:
        """Copy everything into one file, which replaces an older one only when it is complete."""
        check_backup_target(target, self.path)
        with as_library_faults(target):
            copy_to(self._connections.current(), target.resolve())  # the file a link names, not the link

    def close(self) -> None:
        """Close the connections of all threads; none may be using one."""
        self._connections.close()

    def __enter__(self) -> Library:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def check_backup_target(target: Path, library: Path) -> None:
    """Refuse a place for a backup of this library where somebody would miss what is there.

    Raises
    ------
    LibraryFault
    """
    if _is_same(target, library):
        raise LibraryFault(message("library.backup_onto_itself"))
    with as_library_faults(target):
        if target.exists() and not _may_be_backup(target):
            raise LibraryFault(message("library.no_backup", path=target))


def restore(backup: Path, target: Path, although_damaged: bool = False) -> Path | None:
    """Put a backup in the place of a library; returns the copy kept of what was there, if anything was.

    A library that is in use elsewhere is replaced in one transaction; one too damaged to open is moved
    aside. ``although_damaged``: also a backup in which original files are damaged.

    Raises
    ------
    DamagedOriginals
        When stored files of the backup are not what was put in, unless ``although_damaged``.
    LibraryFault
        When the backup is none, is damaged or of a later version; the library is then untouched.
    """
    _check_file(backup)
    if _is_same(backup, target):
        raise LibraryFault(message("library.restore_from_itself"))
    with as_library_faults(backup), closing(connect(backup, read_only=True)) as source:
        _check_backup(source, backup, although_damaged)
        with as_library_faults(target):
            target.parent.mkdir(parents=True, exist_ok=True)
            if target.exists() and _opens(target):
                with closing(connect(target)) as library:
                    kept = keep_copy(library, target, "before-restore")
                    source.backup(library)
                    migrate(library, target)
                return kept
            aside = _moved_aside(target) if target.exists() else None
            copy_to(source, target)
            return aside


def _check_backup(source: sqlite3.Connection, backup: Path, although_damaged: bool) -> None:
    check_is_library(source, backup)
    if not _is_whole(source):
        raise LibraryFault(message("library.damaged_backup", backup=backup))
    check_layout(source, backup)
    damaged = [] if although_damaged else damaged_originals(source)
    if damaged:
        raise DamagedOriginals(message("library.damaged_originals", backup=backup), tuple(damaged))


def _is_same(one: Path, other: Path) -> bool:
    return one.absolute() == other.absolute() or (one.exists() and other.exists() and one.samefile(other))


def _check_file(path: Path) -> None:
    """Refuse what is not even a database, before anything of it is opened."""
    if is_held(path):
        return
    try:
        with path.open("rb") as stream:
            head = stream.read(len(SQLITE_MAGIC))
    except FileNotFoundError:
        raise LibraryFault(message("library.not_there", path=path)) from None
    except IsADirectoryError:
        raise LibraryFault(message("library.folder", path=path)) from None
    except OSError as problem:
        raise LibraryFault(message("library.not_opened", path=path, reason=problem.strerror)) from problem
    if head != SQLITE_MAGIC:
        raise LibraryFault(message("library.no_library", path=path))


def _is_whole(connection: sqlite3.Connection) -> bool:
    return [row[0] for row in connection.execute("PRAGMA integrity_check(1)")] == ["ok"]


def _may_be_backup(path: Path) -> bool:
    """Whether a backup may take the place of a file: of an older backup or of nothing, not of a library.

    A library keeps a log beside it, which a backup, one file alone, does not."""
    if not path.is_file() or is_held(path):
        return False
    with path.open("rb") as stream:
        head = stream.read(_HEAD_BYTES)
    ours = head[68:72] == APPLICATION_ID.to_bytes(4, "big")
    return not head or (head.startswith(SQLITE_MAGIC) and ours and head[18:20] == _NO_LOG)


def _publish(part: Path, path: Path) -> None:
    """Give a finished file its name, unless the name is taken."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise LibraryFault(message("library.already_there", path=path)) from None
    except OSError:
        # A file system without hard links.
        if path.exists():
            raise LibraryFault(message("library.already_there", path=path)) from None
        os.rename(part, path)


def _opens(path: Path) -> bool:
    try:
        _check_file(path)
        with as_library_faults(path), closing(connect(path)) as connection:
            check_is_library(connection, path)
            return _is_whole(connection)
    except LibraryFault:
        return False


def _moved_aside(path: Path) -> Path:
    target = kept_name(path, "damaged")
    os.replace(path, target)
    for old, new in zip(side_files(path), side_files(target), strict=True):
        if old.exists():
            os.replace(old, new)
    return target
