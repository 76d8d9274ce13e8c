"""One connection per thread to one library file, and transactions that happen whole or not at all."""

from __future__ import annotations

import sqlite3
import threading
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from slopebeat.library.faults import as_library_faults
from slopebeat.library.integrity import Damage, decoded
from slopebeat.model.message import Message

T = TypeVar("T")

BUSY_TIMEOUT_S = 15.0
"""Longest wait for another writer of the same library [project choice]; writes take milliseconds."""

SYNCHRONOUS = "FULL"
"""Each commit waits until the disk has it, and outlasts a loss of power (SQLite, PRAGMA synchronous)."""


def connect(path: Path, read_only: bool = False) -> sqlite3.Connection:
    """A connection to an existing file; never makes one.

    Statements stand alone unless a transaction was started. Each commit reaches the disk, and what is
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
        connection.execute(f"PRAGMA synchronous = {SYNCHRONOUS}")
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
        """This thread's connection, with faults of the disk reported in sentences."""
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


class LibraryTable:
    """A part of a library, read and written by statements with ``?`` for each of the values."""

    def __init__(self, connections: Connections) -> None:
        self._connections = connections

    def _rows(self, query: str, *values: object) -> list[Any]:
        with self._connections.reading() as connection:
            return connection.execute(query, values).fetchall()

    def _count(self, counted: str, *values: object) -> int:
        """Number of rows of what stands behind FROM."""
        return int(self._rows(f"SELECT count(*) FROM {counted}", *values)[0][0])

    def _set_outings(self, column: str, by_identity: Mapping[str, object]) -> None:
        """Put a value into a column of each of some outings."""
        rows = [(value, identity) for identity, value in by_identity.items()]
        self._write_all(f"UPDATE outing SET {column} = ? WHERE identity = ?", rows)

    def _readable(
        self, query: str, values: tuple[object, ...], make: Callable[[Any], T], lost: Callable[[Any], Message]
    ) -> list[T]:
        """What ``make`` makes of the rows it can read; each of the others is named by a message."""
        return self._connections.damage.readable(self._rows(query, *values), make, lost)

    def _write(self, statement: str, *values: object) -> None:
        with self._connections.writing() as connection:
            connection.execute(statement, values)

    def _write_all(self, statement: str, rows: Iterable[tuple[object, ...]]) -> None:
        with self._connections.writing() as connection:
            connection.executemany(statement, rows)
