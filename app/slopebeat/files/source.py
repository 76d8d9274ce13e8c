"""The bytes of a file, unpacked where they were gzipped, with what is known of where they came from."""

from __future__ import annotations

import io
import os
import zlib
from dataclasses import dataclass
from pathlib import Path

from slopebeat.disk.reading import open_regular
from slopebeat.files.progress import Ticker
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message

MAX_BYTES = 256 * 1024 * 1024
"""Largest recording read, packed or unpacked [project choice].

Ten hours at one record a second are about 25 MB of XML."""

GZIP_MAGIC = b"\x1f\x8b"
"""First two bytes of a gzip member (RFC 1952, section 2.3.1)."""

_CHUNK_BYTES = 1 << 18
_GZIP_WINDOW = 31  # zlib's wbits for "gzip wrapper, largest window"
_GZIP_SUFFIXES = (".gz", ".gzip")


@dataclass(frozen=True)
class Source:
    """Bytes to read.

    Attributes
    ----------
    name : the file's name as the user knows it.
    data : its content, unpacked.
    warnings : what was wrong before a reader saw it.
    """

    name: str
    data: bytes
    warnings: tuple[Message, ...] = ()

    @property
    def title(self) -> str:
        """The name without its endings, for recordings that bring no name of their own."""
        path = Path(self.name)
        if path.suffix.lower() in _GZIP_SUFFIXES:
            path = path.with_suffix("")
        return path.stem


def read_bytes(path: Path, ticker: Ticker) -> bytes:
    """The whole content of a file.

    Raises
    ------
    UnreadableFile
        When it cannot be opened, is no file but a folder, pipe or device, is empty, or is larger than
        :data:`MAX_BYTES`.
    """
    if path.is_dir():
        raise UnreadableFile(message("file.folder", name=path.name))
    try:
        chunks = io.BytesIO()
        with open_regular(path) as stream:
            size = os.fstat(stream.fileno()).st_size
            # The size is only where the progress ends: a file may grow while it is read, or have none.
            while size <= MAX_BYTES and (chunk := stream.read(_CHUNK_BYTES)):
                chunks.write(chunk)
                size = max(size, chunks.tell())
                ticker.tick(chunks.tell() / size)
    except FileNotFoundError:
        raise UnreadableFile(message("file.not_there", path=path)) from None
    except PermissionError:
        raise UnreadableFile(message("file.denied", name=path.name)) from None
    except OSError as error:
        raise UnreadableFile(
            message("file.unreadable", name=path.name, reason=error.strerror or str(error))
        ) from None
    if size > MAX_BYTES:
        raise UnreadableFile(message("file.too_large", name=path.name, most=MAX_BYTES))
    # What was written is handed over, not copied: a second copy would double the memory of the reading.
    data = chunks.getvalue()
    if not data:
        raise UnreadableFile(message("file.empty", name=path.name))
    return data


def first_bytes(path: Path, count: int) -> bytes:
    """So many bytes a file begins with, or all there are; UnreadableFile where it cannot be opened."""
    try:
        with open_regular(path) as stream:
            return stream.read(count)
    except OSError as error:
        reason = error.strerror or str(error)
        raise UnreadableFile(message("file.unreadable", name=path.name, reason=reason)) from error


def unpacked(name: str, data: bytes, ticker: Ticker) -> Source:
    """Undo gzip where the first bytes say so; a damaged archive gives what could be unpacked.

    Raises
    ------
    UnreadableFile
        When more than :data:`MAX_BYTES` come out, or nothing.
    """
    if not data.startswith(GZIP_MAGIC):
        return Source(name, data)
    out = bytearray()
    rest = data
    warnings: tuple[Message, ...] = ()
    try:
        # gzip allows several members one after another (RFC 1952, section 2.2).
        while rest.startswith(GZIP_MAGIC):
            rest = _unpack_member(name, rest, out, ticker, len(data))
    except (zlib.error, EOFError):
        warnings = (message("file.packed_damaged", count=len(out)),)
    if not out:
        raise UnreadableFile(message("file.nothing_unpacked", name=name))
    if out.startswith(GZIP_MAGIC):
        raise UnreadableFile(message("file.packed_twice", name=name))
    return Source(name, bytes(out), warnings)


def beginning(data: bytes) -> bytes:
    """The start of a content, unpacked where it was gzipped; empty where that cannot be."""
    if not data.startswith(GZIP_MAGIC):
        return data
    try:
        return zlib.decompressobj(_GZIP_WINDOW).decompress(data, _CHUNK_BYTES)
    except zlib.error:
        return b""


def _unpack_member(name: str, data: bytes, out: bytearray, ticker: Ticker, total: int) -> bytes:
    """Unpack one gzip member to the end of ``out``; returns the bytes behind it."""
    unpacker = zlib.decompressobj(_GZIP_WINDOW)
    pending = data
    while not unpacker.eof:
        if not pending:
            raise EOFError
        out += unpacker.decompress(pending, _CHUNK_BYTES)
        pending = unpacker.unconsumed_tail
        if len(out) > MAX_BYTES:
            raise UnreadableFile(message("file.unpacks_too_large", name=name, most=MAX_BYTES))
        ticker.tick(1.0 - len(pending) / total)
    return unpacker.unused_data
