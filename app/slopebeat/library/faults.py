"""What can go wrong with a library on a disk, as keys."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from slopebeat.model.errors import UserError
from slopebeat.model.message import Message, message


class LibraryFault(UserError):
    """The library cannot be used as asked; the sentence says why, and nothing was half-written."""


class DamagedOriginals(LibraryFault):
    """Stored files are damaged while all else can be read; ``names`` says which."""

    def __init__(self, text: Message, names: tuple[Message, ...]) -> None:
        super().__init__(text)
        self.names = names


_KEYS = {
    sqlite3.SQLITE_FULL: "library.disk_full",
    sqlite3.SQLITE_READONLY: "library.read_only",
    sqlite3.SQLITE_PERM: "library.denied",
    sqlite3.SQLITE_CANTOPEN: "library.no_folder",
    sqlite3.SQLITE_BUSY: "library.busy",
    sqlite3.SQLITE_LOCKED: "library.locked",
    sqlite3.SQLITE_IOERR: "library.disk_fault",
    sqlite3.SQLITE_CORRUPT: "library.damaged",
    sqlite3.SQLITE_NOTADB: "library.no_library",
    sqlite3.SQLITE_NOMEM: "library.damaged",
    sqlite3.SQLITE_MISMATCH: "library.damaged",
    sqlite3.SQLITE_TOOBIG: "library.file_too_large",
}
"""By primary result code (https://www.sqlite.org/rescode.html); other codes are faults of this program."""


@contextmanager
def as_library_faults(path: Path) -> Iterator[None]:
    """Turn the world's faults with a database into sentences about ``path``; ours pass through.

    Raises
    ------
    LibraryFault
        When the disk, its permissions, another program or damage is to blame.
    """
    try:
        yield
    except sqlite3.Error as problem:
        code = getattr(problem, "sqlite_errorcode", None)
        key = None if code is None else _KEYS.get(code & 0xFF)
        if key is None:
            raise
        raise LibraryFault(message(key, path=path)) from problem
    except (MemoryError, UnicodeDecodeError) as problem:
        # A damaged database may speak of rows larger than any memory; its refusal may quote what is no text.
        raise LibraryFault(message("library.damaged", path=path)) from problem
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise LibraryFault(
            message("library.unusable", path=problem.filename or path, reason=reason)
        ) from problem
