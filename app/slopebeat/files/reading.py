"""Open a file whatever its name says: recognise the format by content and hand it to its reader."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from slopebeat.files.formats import FORMATS, format_names, what_it_is
from slopebeat.files.limits import plain_text
from slopebeat.files.progress import Progress, Ticker
from slopebeat.files.source import Source, read_bytes, unpacked
from slopebeat.files.xml.head import root_name
from slopebeat.model.content import content_hash
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message
from slopebeat.model.recording import Recording

__all__ = ["Progress", "ReadFile", "read", "read_recordings"]

LOADED_SHARE = 0.05
"""Share of the progress told while the bytes are loaded [project choice]."""

UNPACKED_SHARE = 0.10
"""Share of the progress told when they are unpacked [project choice]."""


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


def read(source: Path | bytes, progress: Progress | None = None, name: str | None = None) -> ReadFile:
    """Every recording a FIT, GPX or TCX file holds; gzip is unpacked first.

    Parameters
    ----------
    source : where the file lies, or its content.
    name : what it is called; a path's own name where None.

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
    return ReadFile(name, data, content_hash(data), recordings)


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
