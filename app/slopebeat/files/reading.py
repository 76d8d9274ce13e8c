"""Open a file whatever its name says: recognise the format by content and hand it to its reader.

The formats stand in a table, ``FORMATS``: a new reader is one module and one row there. A
reader is loaded with the first file of its format.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from slopebeat.files.fit.frame import is_fit
from slopebeat.files.limits import plain_text
from slopebeat.files.progress import Progress, Ticker
from slopebeat.files.source import GZIP_MAGIC, Source, beginning, read_bytes, unpacked
from slopebeat.files.xml.head import root_name
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message
from slopebeat.model.recording import Recording, content_hash


@dataclass(frozen=True)
class FileFormat:
    """One format.

    Attributes
    ----------
    name : as said to the user.
    suffixes : usual file endings, for file dialogs; content decides, not these.
    matches : whether bytes, and the plain name of their XML root element (None: no XML), are of it.
    read : its reader.
    """

    name: str
    suffixes: tuple[str, ...]
    matches: Callable[[bytes, str | None], bool]
    read: Callable[[Source, Ticker], tuple[Recording, ...]]


def _read_fit(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    from slopebeat.files.fit.fit_recording import read_fit

    return read_fit(source, ticker)


def _read_gpx(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    from slopebeat.files.xml.gpx import read_gpx

    return read_gpx(source, ticker)


def _read_tcx(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    from slopebeat.files.xml.tcx import read_tcx

    return read_tcx(source, ticker)


FORMATS: tuple[FileFormat, ...] = (
    FileFormat("FIT", (".fit",), lambda data, root: root is None and is_fit(data), _read_fit),
    FileFormat("GPX", (".gpx",), lambda data, root: root == "gpx", _read_gpx),
    FileFormat("TCX", (".tcx",), lambda data, root: root == "trainingcenterdatabase", _read_tcx),
)

_SIGNATURES: tuple[tuple[bytes, str], ...] = (
    (b"PK\x03\x04", "content.zip"),
    (b"\x89PNG", "content.png"),
    (b"\xff\xd8\xff", "content.jpeg"),
    (b"%PDF", "content.pdf"),
    (b"SQLite format 3", "content.database"),
    (b"BZh", "content.bzip2"),
    (b"\xfd7zXZ", "content.xz"),
    (b"7z\xbc\xaf", "content.seven_zip"),
)
"""First bytes of files that are picked by mistake, for a sentence that helps."""

_TEXT_PROBE_BYTES = 512


PROBE_BYTES = 1 << 14
"""What is looked at of a file to see whether reading it is worth while [project choice]."""


def may_be_recording(head: bytes) -> bool:
    """Whether a file that begins so may be a recording; costs little, and in doubt says yes.

    ``head`` is the first :data:`PROBE_BYTES`, or all there is.
    """
    data = beginning(head)
    if not data:
        # A packed file that is damaged, or an empty one: the reading has a better word for it.
        return head.startswith(GZIP_MAGIC) or not head
    try:
        root = root_name(Source("", data))
    except UnreadableFile:
        return True
    if root is None and data.lstrip().startswith(b"<"):
        return len(head) >= PROBE_BYTES
    return any(row.matches(data, root) for row in FORMATS)


def format_names() -> Message:
    """The names of the formats as a list in words."""
    names = [row.name for row in FORMATS]
    return message("format.names", names=tuple(names[:-1]), last=names[-1])


def what_it_is(data: bytes, root: str | None) -> Message:
    """What is said of content no reader takes."""
    if root is not None:
        return message("content.xml", root=root)
    for signature, key in _SIGNATURES:
        if data.startswith(signature):
            return message(key)
    head = data[:_TEXT_PROBE_BYTES]
    if head.lstrip().startswith(b"<"):
        return message("content.damaged_xml")
    try:
        head.decode("utf-8")
    except UnicodeDecodeError as error:
        # A character cut at the end of the probe is no sign of binary data.
        if error.start < len(head) - 4:
            return message("content.binary")
    return message("content.binary") if b"\x00" in head else message("content.text")


LOADED_SHARE = 0.05
"""Share of the progress reported while the bytes are loaded [project choice]."""

UNPACKED_SHARE = 0.10
"""Share of the progress reported when they are unpacked [project choice]."""


_NAMELESS = "recording"

LONGEST_AHEAD = timedelta(days=1)
"""Dates further ahead than this are called wrong; the computer's clock may be off too [project choice]."""


@dataclass(frozen=True, eq=False)
class ReadFile:
    """A file read once: what was found in it belongs to these bytes, whatever becomes of the file.

    Attributes
    ----------
    name : the file's name, without folders.
    data : its content as it is in the file.
    content_hash : SHA-256 of that, by which what is kept of it is found.
    recordings : in order of time, never empty.
    """

    name: str
    data: bytes
    content_hash: str
    recordings: tuple[Recording, ...]


def read(
    source: Path | bytes,
    progress: Progress | None = None,
    name: str | None = None,
    known_hash: str | None = None,
) -> ReadFile:
    """Every recording a FIT, GPX or TCX file holds; gzip is unpacked first.

    Parameters
    ----------
    source : where the file lies, or its content.
    name : what it is called; a path's own name where None. known_hash : of the content, where it was made
        before.

    Raises
    ------
    UnreadableFile
        With a sentence for the user, when the file holds no recording.
    Cancelled
        When ``progress`` asked to stop.
    """
    ticker = Ticker(progress)
    if isinstance(source, bytes):
        data, name = source, name or _NAMELESS
    else:
        data, name = read_bytes(source, ticker.within(0.0, LOADED_SHARE)), name or source.name
    recordings = _recordings(unpacked(name, data, ticker.within(LOADED_SHARE, UNPACKED_SHARE)), ticker)
    return ReadFile(name, data, known_hash or content_hash(data), recordings)


def read_recordings(path: Path, progress: Progress | None = None) -> tuple[Recording, ...]:
    """The recordings alone, as :func:`read` gives them."""
    return read(path, progress).recordings


def _recordings(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    root = root_name(source)
    for row in FORMATS:
        if row.matches(source.data, root):
            return _finished(source, row.read(source, ticker.within(UNPACKED_SHARE, 1.0)))
    raise UnreadableFile(
        message(
            "file.no_recording", name=source.name, formats=format_names(), what=what_it_is(source.data, root)
        )
    )


def _finished(source: Source, recordings: tuple[Recording, ...]) -> tuple[Recording, ...]:
    """In order of time, each with a title, the file's name and what was wrong with the file itself."""
    ordered = sorted(recordings, key=lambda recording: recording.start_utc)
    finished = []
    for index, recording in enumerate(ordered):
        own_title = plain_text(recording.title)
        title = own_title or plain_text(source.title)
        if len(ordered) > 1 and not own_title:
            title = f"{title}, {index + 1} of {len(ordered)}"
        warnings = (*source.warnings, *recording.warnings, *_date_warning(recording.start_utc))
        device = plain_text(recording.device)
        finished.append(
            replace(
                recording,
                title=title,
                device=device,
                file_name=source.name,
                warnings=warnings,
                damage=(*source.warnings, *recording.damage),
            )
        )
    return tuple(finished)


def _date_warning(start_utc: datetime) -> tuple[Message, ...]:
    """What to say when the file says a date that has not come yet."""
    if start_utc <= datetime.now(UTC) + LONGEST_AHEAD:
        return ()
    return (message("file.in_the_future", date=start_utc),)
