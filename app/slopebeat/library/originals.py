"""The bytes of an original file, packed for keeping and back again exactly."""

from __future__ import annotations

import sqlite3
import zlib
from dataclasses import dataclass

from slopebeat.library.faults import LibraryFault
from slopebeat.library.sound import UNREADABLE, checked, shown
from slopebeat.model.content import content_hash
from slopebeat.model.message import Message, message

_LEVEL = 6  # of zlib: a level more costs twice the time for a few per cent [project choice]


@dataclass(frozen=True)
class Original:
    """A file's content: its SHA-256 in hexadecimal, its length, and the bytes packed by zlib."""

    content_hash: str
    size_bytes: int
    packed: bytes


def packed(data: bytes) -> Original:
    """Pack a file's bytes for keeping."""
    return Original(content_hash(data), len(data), zlib.compress(data, _LEVEL))


def unpacked(original: Original) -> bytes:
    """The file's bytes back.

    Raises
    ------
    LibraryFault
        When they are not what was put in: the library is damaged.
    """
    try:
        # What a damaged row unpacks to may be far more than was put in.
        data = zlib.decompressobj().decompress(original.packed, original.size_bytes + 1)
    except (zlib.error, TypeError, ValueError, OverflowError, MemoryError):
        data = b""
    if len(data) != original.size_bytes or content_hash(data) != original.content_hash:
        raise LibraryFault(message("library.lost_original"))
    return data


def damaged_originals(connection: sqlite3.Connection) -> list[Message]:
    """A message for each stored file whose bytes are not those its key was made of."""
    problems = []
    keys = connection.execute("SELECT rowid, hash FROM content").fetchall()
    for rowid, key in keys:
        try:
            row = connection.execute("SELECT hash, size_bytes, packed FROM content WHERE rowid = ?", (rowid,))
            unpacked(checked(Original(*row.fetchone())))
        except UNREADABLE:
            rows = connection.execute(
                "SELECT file_name FROM outing WHERE content_hash = ?", (key,)
            ).fetchall()
            names = ", ".join(shown(row[0]) for row in rows) or shown(key)
            problems.append(message("library.damaged_original", names=names))
    return problems
