"""Where files to import are found: named, in folders, and in ZIP archives, which are never unpacked to disk.

An archive is somebody else's: names in it are only ever shown, and what it claims of sizes is not believed.
"""

from __future__ import annotations

import io
import os
import zipfile
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from slopebeat.disk.reading import open_regular
from slopebeat.files.progress import Ticker
from slopebeat.files.reading import FORMATS, PROBE_BYTES, ReadFile, format_names, may_be_recording
from slopebeat.files.source import MAX_BYTES, read_bytes
from slopebeat.model.errors import UnreadableFile, UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import counted

MOST_MEMBERS = 50_000
"""Most entries of one archive; twenty years of daily outings are 7,300 [project choice]."""

MOST_MEMBER_BYTES = MAX_BYTES
"""Largest recording taken from an archive, unpacked; the same as from a folder [project choice]."""

MOST_INNER_ARCHIVE_BYTES = 256 * 1024**2
"""Most bytes of the archives inside one archive: they are held in memory, as nothing of an archive is written
to the disk [project choice]."""

MOST_ARCHIVE_BYTES = 8 * 1024**3
"""Most bytes read from one archive in all, unpacked [project choice]."""

DEEPEST_ARCHIVE = 2
"""An archive in an archive is opened, one inside that is not [project choice]."""

MOST_NAMED = 20
"""How many entries of an archive that are no recordings are named; the others are only counted
[project choice]."""

LONGEST_NAME_BYTES = 180
"""Longest file name taken from an archive, UTF-8; file systems allow 255 [project choice]."""

_CHUNK_BYTES = 1 << 20
_ZIP_SUFFIX = ".zip"
_PACKED_SUFFIXES = ("", ".gz", ".gzip")
_SUFFIXES = tuple(
    suffix + packed for row in FORMATS for suffix in row.suffixes for packed in _PACKED_SUFFIXES
)
_NOT_IN_NAMES = '<>:"|?*'  # not allowed in the names of some file systems

Report = Callable[[str, str], None]
"""Told the name of what cannot be read, and why in a sentence."""


@dataclass(frozen=True)
class ImportSource:
    """One file to import.

    Attributes
    ----------
    name : as shown, with the archive it lies in. file_name : without any folder.
    read : its bytes; raises UnreadableFile with a sentence.
    """

    name: str
    file_name: str
    read: Callable[[], bytes]


def source_of(file: ReadFile) -> ImportSource:
    """A file that was read before, with the bytes it had then."""
    name = printable(file.name)
    return ImportSource(name, name, lambda: file.data)


def find_sources(
    paths: Sequence[Path | ImportSource], stack: ExitStack, unreadable: Report
) -> list[ImportSource]:
    """Every file worth reading, in order of names; archives stay open until ``stack`` closes.

    Files named by the user are all tried, and so are sources at hand. In folders and archives only those with
    a known ending are; hidden ones are passed over.
    """
    found: list[ImportSource] = []
    for path in paths:
        if isinstance(path, ImportSource):
            found.append(path)
        elif path.is_dir():
            for inner in files_under(path, unreadable):
                found += _of_file(inner, inner.relative_to(path).as_posix(), stack, unreadable)
        else:
            found += _of_file(path, path.name, stack, unreadable)
    return found


def files_under(folder: Path, unreadable: Report = lambda _name, _why: None) -> Iterator[Path]:
    """Files of a folder, and of all in it, that are worth reading by their endings; hidden ones are not."""

    def tell(error: OSError) -> None:
        unreadable(
            str(error.filename), tr("The folder could not be opened: {reason}.").format(reason=error.strerror)
        )

    for root, folders, names in os.walk(folder, onerror=tell):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (Path(root, name) for name in sorted(names) if _worth_reading(name))


def _worth_reading(name: str) -> bool:
    return not name.startswith(".") and name.lower().endswith((*_SUFFIXES, _ZIP_SUFFIX))


def _of_file(path: Path, name: str, stack: ExitStack, unreadable: Report) -> list[ImportSource]:
    if path.suffix.lower() != _ZIP_SUFFIX:
        return [ImportSource(printable(name), printable(path.name), lambda: read_bytes(path, Ticker(None)))]
    try:
        stream = stack.enter_context(open_regular(path))
    except UnreadableFile as problem:
        unreadable(name, str(problem))
        return []
    except OSError as error:
        unreadable(name, tr("The archive could not be opened: {reason}.").format(reason=error.strerror))
        return []
    return _Archive(stack, unreadable).members(stream, name, depth=1)


class _Archive:
    """What one archive, with those inside it, may still give."""

    def __init__(self, stack: ExitStack, unreadable: Report) -> None:
        self._stack = stack
        self._unreadable = unreadable
        self._left_bytes = MOST_ARCHIVE_BYTES
        self._inner_left_bytes = MOST_INNER_ARCHIVE_BYTES

    def members(self, stream: IO[bytes], name: str, depth: int) -> list[ImportSource]:
        try:
            archive = self._stack.enter_context(zipfile.ZipFile(stream))
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            self._unreadable(name, tr("The archive is damaged or is none ({reason}).").format(reason=error))
            return []
        infos = [info for info in archive.infolist() if not info.is_dir()]
        if len(infos) > MOST_MEMBERS:
            many = tr("The archive holds more than {count} files and was not opened.")
            self._unreadable(name, many.format(count=counted(MOST_MEMBERS)))
            return []
        found: list[ImportSource] = []
        others: list[str] = []
        for info in sorted(infos, key=lambda info: info.filename):
            parts = safe_parts(info.filename)
            if not _worth_reading(parts[-1]) or "__MACOSX" in parts:
                continue
            shown = f"{name}: {'/'.join(parts)}"
            if parts[-1].lower().endswith(_ZIP_SUFFIX) or self._may_be_recording(archive, info):
                found += self._of_member(archive, info, shown, parts[-1], depth)
            else:
                others.append(shown)
        self._tell_others(name, others)
        return found

    def _tell_others(self, name: str, others: Sequence[str]) -> None:
        """Entries with the ending of a recording that are none, each by its name while they are few."""
        for shown in others[:MOST_NAMED]:
            self._unreadable(shown, tr("This is no {formats} recording.").format(formats=format_names()))
        more = len(others) - MOST_NAMED
        if more > 0:
            text = trn(
                "{n} more entry of the archive is no recording.",
                "{n} more entries of the archive are no recordings.",
                more,
            )
            self._unreadable(name, text.format(n=more))

    def _may_be_recording(self, archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bool:
        """By its beginning alone; what cannot be unpacked is reported when it is read."""
        try:
            with archive.open(info) as member:
                return may_be_recording(member.read(PROBE_BYTES))
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError):
            return True

    def _of_member(
        self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, name: str, file_name: str, depth: int
    ) -> list[ImportSource]:
        if not file_name.lower().endswith(_ZIP_SUFFIX):
            return [ImportSource(name, file_name, lambda: self._bytes(archive, info, file_name))]
        if depth >= DEEPEST_ARCHIVE:
            deep = tr("An archive this deep inside archives is not opened; unpack it first.")
            self._unreadable(name, deep)
            return []
        inner = io.BytesIO()
        try:
            for chunk in self._chunks(archive, info, file_name, self._inner_left_bytes):
                inner.write(chunk)
            self._inner_left_bytes -= inner.tell()
        except UserError as problem:
            self._unreadable(name, str(problem))
            return []
        return self.members(inner, name, depth + 1)

    def _bytes(self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, file_name: str) -> bytes:
        data = b"".join(self._chunks(archive, info, file_name, MOST_MEMBER_BYTES))
        if not data:
            raise UnreadableFile(tr("{file} is empty.").format(file=file_name))
        return data

    def _chunks(
        self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, file_name: str, most_bytes: int
    ) -> Iterator[bytes]:
        """The bytes of a member as they come out, counted: the size written in the archive may lie."""
        if info.flag_bits & 0x1:  # APPNOTE.TXT 4.4.4, bit 0: encrypted
            locked = tr("{file} is locked with a password; unpack the archive first.")
            raise UnreadableFile(locked.format(file=file_name))
        left = most_bytes
        try:
            with archive.open(info) as member:
                while chunk := member.read(_CHUNK_BYTES):
                    left -= len(chunk)
                    self._left_bytes -= len(chunk)
                    if left < 0:
                        large = tr("{file} unpacks to more than {size} MB.")
                        raise UnreadableFile(large.format(file=file_name, size=most_bytes >> 20))
                    if self._left_bytes < 0:
                        large = tr("The archive unpacks to more than {size} GB; {file} was left out.")
                        raise UnreadableFile(large.format(file=file_name, size=MOST_ARCHIVE_BYTES >> 30))
                    yield chunk
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, ValueError) as error:
            problem = tr("{file} could not be unpacked ({reason}).").format(file=file_name, reason=error)
            raise UnreadableFile(problem) from error


def printable(text: str) -> str:
    """Text that can be kept and shown: a file system may hold names that are none."""
    return text.encode("utf-8", "replace").decode("utf-8")


def safe_parts(name: str) -> tuple[str, ...]:
    """The parts of a name from an archive, none of which leads anywhere; always at least one."""
    parts = []
    for part in name.replace("\\", "/").split("/"):
        shown = "".join("_" if not char.isprintable() or char in _NOT_IN_NAMES else char for char in part)
        shown = _shortened(shown.strip())
        if shown.strip(". "):
            parts.append(shown)
    return tuple(parts) or ("recording",)


def _shortened(name: str) -> str:
    """At most the longest name, with the ending kept: it says what the file is."""
    raw = name.encode("utf-8", "replace")
    if len(raw) <= LONGEST_NAME_BYTES:
        return raw.decode("utf-8")
    head, tail = raw[: LONGEST_NAME_BYTES - 16], raw[-16:]
    return head.decode("utf-8", "ignore") + tail.decode("utf-8", "ignore")
