"""The formats this program reads, as a table: a new reader is one module and one row here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slopebeat.files.fit.fit_recording import read_fit
from slopebeat.files.fit.frame import is_fit
from slopebeat.files.progress import Ticker
from slopebeat.files.source import GZIP_MAGIC, Source, beginning
from slopebeat.files.xml.gpx import read_gpx
from slopebeat.files.xml.head import root_name
from slopebeat.files.xml.tcx import read_tcx
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message
from slopebeat.model.recording import Recording


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


FORMATS: tuple[FileFormat, ...] = (
    FileFormat("FIT", (".fit",), lambda data, root: root is None and is_fit(data), read_fit),
    FileFormat("GPX", (".gpx",), lambda data, root: root == "gpx", read_gpx),
    FileFormat("TCX", (".tcx",), lambda data, root: root == "trainingcenterdatabase", read_tcx),
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
