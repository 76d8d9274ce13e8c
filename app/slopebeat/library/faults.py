"""What can go wrong with a library on a disk, in sentences."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr


class LibraryFault(UserError):
    """The library cannot be used as asked; the sentence says why, and nothing was half-written."""


class DamagedOriginals(LibraryFault):
    """Stored files are damaged while all else can be read; ``names`` says in sentences which."""

    def __init__(self, sentence: str, names: list[str]) -> None:
        super().__init__(sentence)
        self.names = names


_SENTENCES = {
    sqlite3.SQLITE_FULL: mark("The disk is full: {path} was left as it was. Make room and try again."),
    sqlite3.SQLITE_READONLY: mark(
        "{path} may not be written to. Copy it to a folder of your own and open it there."
    ),
    sqlite3.SQLITE_PERM: mark("{path} may not be opened: permission was denied."),
    sqlite3.SQLITE_CANTOPEN: mark("{path} cannot be opened: its folder is missing or may not be written to."),
    sqlite3.SQLITE_BUSY: mark(
        "{path} is being written to by another program. Wait until that is done and try again."
    ),
    sqlite3.SQLITE_LOCKED: mark(
        "{path} is being written to elsewhere. Wait until that is done and try again."
    ),
    sqlite3.SQLITE_IOERR: mark(
        "{path} could not be read or written: the disk reported a fault. It was left as it was."
    ),
    sqlite3.SQLITE_CORRUPT: mark("{path} is damaged. Restore it from a backup."),
    sqlite3.SQLITE_NOTADB: mark("{path} is not a library of this program."),
    sqlite3.SQLITE_NOMEM: mark("{path} is damaged. Restore it from a backup."),
    sqlite3.SQLITE_MISMATCH: mark("{path} is damaged. Restore it from a backup."),
    sqlite3.SQLITE_TOOBIG: mark("The file is too large to be kept in {path}."),
}
"""By primary result code (https://www.sqlite.org/rescode.html); other codes are faults of this program."""


@contextmanager
def told(path: Path) -> Iterator[None]:
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
        sentence = None if code is None else _SENTENCES.get(code & 0xFF)
        if sentence is None:
            raise
        raise LibraryFault(tr(sentence).format(path=path)) from problem
    except (MemoryError, UnicodeDecodeError) as problem:
        # A damaged database may speak of rows larger than any memory; its refusal may quote what is no text.
        raise LibraryFault(tr(_SENTENCES[sqlite3.SQLITE_CORRUPT]).format(path=path)) from problem
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise LibraryFault(
            tr("{path} cannot be used: {reason}.").format(path=problem.filename or path, reason=reason)
        ) from problem
