"""Bring a library to the present version: a copy first, then each step whole or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from functools import lru_cache
from pathlib import Path

from slopebeat.library.connections import transaction
from slopebeat.library.copies import keep_copy
from slopebeat.library.faults import LibraryFault
from slopebeat.library.old.basis import basis_of_old
from slopebeat.library.schema import APPLICATION_ID, BASIS_FUNCTION, MIGRATIONS, Migration
from slopebeat.model.message import message


def version_of(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def check_is_library(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse what is no library of this program, and one written by a later version of it.

    Raises
    ------
    LibraryFault
    """
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise LibraryFault(message("library.no_library", path=path))
    version, newest = version_of(connection), len(MIGRATIONS)
    if version > newest:
        raise LibraryFault(message("library.later_version", path=path, version=version, newest=newest))


def check_layout(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse a library whose tables are not those of its version: every later statement counts on them.

    Raises
    ------
    LibraryFault
    """
    if _layout(connection) != _layout_of(version_of(connection)):
        raise LibraryFault(message("library.damaged", path=path))


@lru_cache(maxsize=8)
def _layout_of(version: int) -> frozenset[str]:
    with closing(sqlite3.connect(":memory:")) as connection:
        _give_functions(connection)
        for step in MIGRATIONS[:version]:
            for statement in step:
                connection.execute(statement)
        return _layout(connection)


def _layout(connection: sqlite3.Connection) -> frozenset[str]:
    """Every table with its columns, every index and trigger, as the statements that made them."""
    rows = connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    return frozenset(" ".join(str(row[0]).split()) for row in rows)


@lru_cache(maxsize=1)
def empty_library() -> bytes:
    """The file of a library into which nothing was written yet, in its present layout.

    Made in memory: on a disk each step would wait for the step before it to be there.
    """
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        migrate(connection, Path(":memory:"))
        return connection.serialize()


def migrate(
    connection: sqlite3.Connection, path: Path, migrations: Sequence[Migration] = MIGRATIONS
) -> Path | None:
    """Carry out the steps that are missing; returns the copy kept of the library as it was, if any.

    A step that fails leaves the library at the version before it.
    """
    start = version_of(connection)
    if start >= len(migrations):
        return None
    _give_functions(connection)
    copy = keep_copy(connection, path, f"version-{start}") if start else None
    # Rebuilding a table drops the one others point to; what they point to is checked before the commit.
    connection.execute("PRAGMA foreign_keys = OFF")
    try:
        for version in range(start, len(migrations)):
            _step(connection, version, migrations[version])
    finally:
        connection.execute("PRAGMA foreign_keys = ON")
    return copy


def _give_functions(connection: sqlite3.Connection) -> None:
    """What the steps call beside SQLite's own."""
    connection.create_function(BASIS_FUNCTION, 4, _basis_text, deterministic=True)


def _basis_text(*columns: bytes | None) -> str:
    """The basis of an older row; bytes, as a damaged library holds text that is none."""
    return basis_of_old(*((column or b"").decode("utf-8", "replace") for column in columns)).text


def _step(connection: sqlite3.Connection, version: int, statements: Migration) -> None:
    with transaction(connection):
        if version_of(connection) != version:
            return  # Another process was quicker.
        for statement in statements:
            connection.execute(statement)
        broken = connection.execute("PRAGMA foreign_key_check").fetchall()
        if broken:
            raise RuntimeError(f"the step to version {version + 1} left {len(broken)} broken references")
        connection.execute(f"PRAGMA user_version = {version + 1}")
