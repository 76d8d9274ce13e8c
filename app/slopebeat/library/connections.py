"""One connection per thread to one library file, and transactions that happen whole or not at all.

With them are made copies of a whole library in one file, and a library from such a copy.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from slopebeat.disk.leftovers import registered
from slopebeat.disk.writing import neighbour, sync_folder
from slopebeat.library.faults import as_library_faults
from slopebeat.library.sound import Damage, decoded, now

BUSY_TIMEOUT_S = 15.0
"""Longest wait for another writer of the same library [project choice]; writes take milliseconds."""


def connect(path: Path, read_only: bool = False) -> sqlite3.Connection:
    """A connection to an existing file; never makes one.

    Statements stand alone unless a transaction was begun. Each commit reaches the disk, and what is
    deleted is overwritten: these are people's health records.
    """
    mode = "ro" if read_only else "rw"
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        timeout=BUSY_TIMEOUT_S,
        isolation_level=None,
        check_same_thread=False,  # so that close() may close what other threads opened
    )
    connection.row_factory = sqlite3.Row
    connection.text_factory = decoded
    try:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA secure_delete = ON")
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[sqlite3.Connection]:
    """All that is executed inside takes effect together; inside another transaction it joins that one."""
    if connection.in_transaction:
        yield connection
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield connection
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


_held: Counter[tuple[int, int]] = Counter()
"""Libraries this process has connections to, by device and number of the file."""

_held_lock = threading.Lock()


def is_held(path: Path) -> bool:
    """Whether this process has connections to a file.

    It must then not be opened in any other way: closing a handle gives up all locks the process has on the
    file (POSIX), and another program would take itself for the only one that writes to it.
    """
    try:
        found = path.stat()
    except OSError:
        return False
    with _held_lock:
        return _held[found.st_dev, found.st_ino] > 0


class Connections:
    """The connections of one process to one library, one for each thread that uses it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.damage = Damage()
        self._of_thread: dict[threading.Thread, sqlite3.Connection] = {}
        self._lock = threading.Lock()
        self._closed = False
        self._file: tuple[int, int] | None = None

    def current(self) -> sqlite3.Connection:
        """This thread's connection, opened at its first use."""
        thread = threading.current_thread()
        with self._lock:
            if self._closed:
                raise RuntimeError("the library was closed")
            if thread not in self._of_thread:
                self._drop_dead_threads()
                self._hold()
                self._of_thread[thread] = connect(self.path)
            return self._of_thread[thread]

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """This thread's connection, with faults of the disk told in sentences."""
        with as_library_faults(self.path):
            yield self.current()

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """The same inside a transaction."""
        with as_library_faults(self.path), transaction(self.current()) as connection:
            yield connection

    def close(self) -> None:
        """Close every thread's connection; no thread may be using one."""
        with self._lock:
            self._closed = True
            for connection in self._of_thread.values():
                connection.close()
            self._of_thread.clear()
            if self._file is not None:
                with _held_lock:
                    _held[self._file] -= 1
                self._file = None

    def _hold(self) -> None:
        """Remember, before the first connection, that this process has some."""
        if self._file is None:
            found = self.path.stat()
            self._file = (found.st_dev, found.st_ino)
            with _held_lock:
                _held[self._file] += 1

    def _drop_dead_threads(self) -> None:
        for thread in [thread for thread in self._of_thread if not thread.is_alive()]:
            self._of_thread.pop(thread).close()


_SIDE_FILES = ("-wal", "-shm", "-journal")


def copy_to(connection: sqlite3.Connection, target: Path) -> None:
    """Copy everything into one new file, by SQLite's backup interface; an older ``target`` is replaced.

    The copy appears under its name when it is complete: a full disk leaves no half of one.
    """
    part = neighbour(target)
    with registered(part), removed_at_end(part):
        part.touch(mode=0o600, exist_ok=False)  # as private as the library
        with closing(connect(part)) as copy:
            connection.backup(copy)
            # One file with nothing beside it, so that it can be read from where nothing may be written.
            copy.execute("PRAGMA journal_mode = DELETE")
        os.replace(part, target)
        sync_folder(target.parent)


@contextmanager
def removed_at_end(part: Path) -> Iterator[None]:
    """Inside, a database is made that takes another name in the end; what is left of it goes."""
    try:
        yield
    finally:
        for leftover in (part, *side_files(part)):
            with suppress(OSError):
                leftover.unlink(missing_ok=True)


def keep_copy(connection: sqlite3.Connection, path: Path, why: str) -> Path:
    """A copy beside the library, named for what it is and when; never over another one."""
    target = kept_name(path, why)
    copy_to(connection, target)
    return target


def kept_name(path: Path, why: str) -> Path:
    """A free name beside the library."""
    stem = f"{path.stem}.{why}.{now():%Y%m%dT%H%M%SZ}"
    names = (path.with_name(f"{stem}{'' if n == 0 else f'-{n}'}{path.suffix}") for n in range(10_000))
    return next(name for name in names if not name.exists())


def side_files(path: Path) -> tuple[Path, ...]:
    """The files SQLite may keep beside a database."""
    return tuple(path.with_name(path.name + ending) for ending in _SIDE_FILES)
