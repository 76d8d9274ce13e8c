"""Copies of a whole library in one file, and a library from such a copy."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from slopebeat.disk.leftovers import registered
from slopebeat.disk.writing import neighbour, sync_folder
from slopebeat.library.connections import connect
from slopebeat.library.integrity import now

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
