"""The one way a file is written: whole or not at all, and never over what somebody would miss.

The bytes go to a neighbour, to the disk, and then take the name. A link keeps pointing where it did, what
replaces a file is as private as that file was, and what is no file (a device, a pipe, standard output) is
written through. A process that dies in between leaves a neighbour, which the next start removes.

What a file is by its first bytes says whether writing over it would destroy somebody's data.
"""

from __future__ import annotations

import io
import os
import re
import stat
import sys
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO
from uuid import uuid4

from slopebeat.disk.leftovers import registered
from slopebeat.disk.reading import open_regular
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr

PROBE_BYTES = 1 << 16
"""What is looked at of a file [project choice]."""

_GZIP = b"\x1f\x8b"
_GZIP_WINDOW = 31
SQLITE_MAGIC = b"SQLite format 3\x00"
"""First 16 bytes of a database (SQLite file format, section 1.3)."""

_BEFORE_ROOT = r"\A\ufeff?(?:\s|<\?.*?\?>|<!--.*?-->|<![^>]*>)*"
_TRACK = re.compile(_BEFORE_ROOT + r"<(?:[\w.-]+:)?(?:gpx|trainingcenterdatabase)\b[^>]*", re.I | re.S)
_OURS = re.compile(r"""\bcreator\s*=\s*["']slopebeat["']""", re.I)

LIBRARY, RECORDING = mark("a library or another database"), mark("a recording")


def precious(head: bytes) -> str | None:
    """What is lost when a file that begins so is written over, as an English key; None for nothing known.

    A way this program wrote itself may be written again.
    """
    if head.startswith(_GZIP):
        try:
            head = zlib.decompressobj(_GZIP_WINDOW).decompress(head, PROBE_BYTES)
        except zlib.error:
            return None
    if head.startswith(SQLITE_MAGIC):
        return LIBRARY
    if head[8:12] == b".FIT":  # bytes 8 to 11 of the header (FIT protocol, file header)
        return RECORDING
    wide = head.startswith((b"\xff\xfe", b"\xfe\xff"))
    root = _TRACK.match(head.decode("utf-16" if wide else "utf-8", "replace"))
    return None if root is None or _OURS.search(root.group()) else RECORDING


PRIVATE, PUBLIC = 0o600, 0o666
"""Rights of a new file: what tells of a person's heart is that person's; the umask takes from the other."""

_LONGEST_STEM = 40
_OWN_HANDLE = re.compile(r"/(?:dev/fd|proc/(?:self|thread-self|\d+)(?:/task/\d+)?/fd)/(\d+)")


def write_whole(path: Path, data: bytes, rights: int = PRIVATE, durable: bool = True) -> None:
    """Write a file, as :func:`whole_file` does."""
    with whole_file(path, rights, durable) as stream:
        stream.write(data)


@contextmanager
def whole_file(path: Path, rights: int = PRIVATE, durable: bool = True) -> Iterator[BinaryIO]:
    """A stream whose content becomes that of ``path`` when all went well.

    Parameters
    ----------
    rights : of a file that is new; an older one passes on its own.
    durable : whether to wait until it is on the disk. Only for what is written in the window's thread and
        would not be missed after a loss of power it is not.

    Raises
    ------
    UserError
        With a sentence; what was there is then as it was.
    BrokenPipeError
        When ``path`` is standard output and nobody reads it any more.
    """
    handle = own_handle(path)
    try:
        if handle is not None or _is_no_file(path):
            held = io.BytesIO()
            yield held
            _write_through(path, handle, held.getbuffer())
        else:
            with _replacing(Path(os.path.realpath(path)), rights, durable) as stream:
                yield stream
    except (OSError, ValueError) as problem:
        if handle is not None and isinstance(problem, BrokenPipeError):
            raise
        reason = getattr(problem, "strerror", None) or str(problem)
        text = tr("{path} could not be written: {reason}.").format(path=path, reason=reason)
        raise UserError(text) from problem


def check_targets(targets: Sequence[Path], inputs: Sequence[Path] = ()) -> None:
    """Refuse, before any work is done, targets that are read from, are alike or would be missed.

    Raises
    ------
    UserError
        With a sentence.
    """
    for at, target in enumerate(targets):
        if any(_same(target, source) for source in inputs):
            raise UserError(
                tr("{path} is read here and would be written over; give another name.").format(path=target)
            )
        if any(_same(target, other) for other in targets[:at]):
            raise UserError(
                tr("{path} is asked for twice; give each file a name of its own.").format(path=target)
            )
        _refuse_precious(target)


def own_handle(path: Path) -> int | None:
    """Number of the open handle of this process that ``path`` is a name of, like ``/dev/stdout``.

    Such a name is no link to be followed: what it points to may be open for others, who go on writing.
    """
    if os.name != "posix":
        return None
    here = os.path.abspath(path)
    for _ in range(40):  # as many links as Linux follows (path_resolution(7))
        place = os.path.join(os.path.realpath(os.path.dirname(here)), os.path.basename(here))
        if found := _OWN_HANDLE.fullmatch(place):
            return int(found.group(1))
        if not os.path.islink(here):
            return None
        here = os.path.normpath(os.path.join(os.path.dirname(here), os.readlink(here)))
    return None


@contextmanager
def _replacing(target: Path, rights: int, durable: bool) -> Iterator[BinaryIO]:
    """Write a neighbour of ``target`` and give it the name."""
    if target.is_dir():
        raise UserError(tr("{path} is a folder; give the name of a file.").format(path=target))
    _refuse_precious(target)
    part = neighbour(target)
    with registered(part):
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), rights)
        try:
            with os.fdopen(handle, "wb") as stream:
                yield stream
                stream.flush()
                _take_rights(target, part)
                if durable:
                    os.fsync(stream.fileno())
            # It may have become something else while it was written.
            _refuse_precious(target)
            os.replace(part, target)
            if durable:
                sync_folder(target.parent)
        finally:
            with suppress(OSError):
                part.unlink(missing_ok=True)


def neighbour(target: Path) -> Path:
    """Where what becomes ``target`` is written; the next start removes it where it is :func:`registered`."""
    return target.with_name(f".{target.name[:_LONGEST_STEM]}.{uuid4().hex}.part")


def sync_folder(folder: Path) -> None:
    """The new name on the disk, too, where the system lets a folder be synced."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _take_rights(target: Path, part: Path) -> None:
    """What replaces a file belongs to whom it belonged to, as far as this process may give it away."""
    with suppress(FileNotFoundError):
        old = target.stat()
        if hasattr(os, "chown") and (old.st_uid, old.st_gid) != (os.geteuid(), os.getegid()):
            with suppress(OSError):
                os.chown(part, old.st_uid, old.st_gid)
        os.chmod(part, stat.S_IMODE(old.st_mode))


def _is_no_file(path: Path) -> bool:
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))


def _write_through(path: Path, handle: int | None, data: memoryview) -> None:
    for stream in (sys.stdout, sys.stderr):
        # What was said before stands before, where both go the same way.
        if handle is not None and stream is not None:
            stream.flush()
    opened = os.open(path, os.O_WRONLY) if handle is None else os.dup(handle)
    with os.fdopen(opened, "wb", buffering=0) as out:
        while data:
            data = data[out.write(data) :]


def _refuse_precious(target: Path) -> None:
    if own_handle(target) is not None or not target.exists() or _is_no_file(target) or target.is_dir():
        return
    try:
        with open_regular(target) as stream:
            what = precious(stream.read(PROBE_BYTES))
    except PermissionError:
        return  # a file that may be written and not read: nothing is known of it
    if what is not None:
        text = tr("{path} is {what} and is not written over; give another name.")
        raise UserError(text.format(path=target, what=tr(what)))


def _same(one: Path, other: Path) -> bool:
    """Whether two names are of one file, or will be; a device may be named as often as one likes."""
    handles = own_handle(one), own_handle(other)
    if handles != (None, None):
        return handles[0] == handles[1]
    with suppress(OSError):
        if one.exists() and other.exists():
            return one.samefile(other) and not _is_no_file(one)
    return os.path.normcase(os.path.realpath(one)) == os.path.normcase(os.path.realpath(other))
