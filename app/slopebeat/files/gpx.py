"""Recordings from GPX 1.0 and 1.1: every track with times is one."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from slopebeat.files.assembly import FEWEST_RECORDS
from slopebeat.files.points import PointColumns, untimed_warning
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.sports import sport_of
from slopebeat.files.xml_stream import XmlStream
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Recording


@dataclass
class _Track:
    points: PointColumns = field(default_factory=PointColumns)
    name: str = ""
    kind: str = ""


def read_gpx(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    """Every track of a GPX file that has two points with different times.

    GPX has no pauses: a break between points, also between segments, is a gap.

    Raises
    ------
    UnreadableFile
        When there is no such track, or the document is refused.
    """
    stream = XmlStream(source, ticker)
    creator, tracks = _tracks(stream)
    tables = [track.points.assembled() for track in tracks]
    recordings = []
    for track, table in zip(tracks, tables, strict=True):
        if table.enough:
            recordings.append(
                Recording(
                    samples=table.samples,
                    start_utc=table.start_utc,
                    sport=sport_of(track.kind),
                    utc_offset_s=track.points.utc_offset_s,
                    device=creator,
                    title=track.name,
                )
            )
    if not recordings:
        raise UnreadableFile(_why_none(source.name, tracks, stream.damage))
    warnings = (*untimed_warning(tables), *([stream.damage] if stream.damage else []))
    return tuple(replace(recording, warnings=warnings) for recording in recordings)


def _tracks(stream: XmlStream) -> tuple[str, list[_Track]]:
    creator, tracks = "", list[_Track]()
    for is_end, name, element in stream:
        if name == "gpx" and not is_end:
            creator = element.get("creator", "").strip()
        elif name == "trk" and not is_end:
            tracks.append(_Track())
        elif is_end and name == "trkpt" and tracks:
            tracks[-1].points.add(element)
            element.clear()
        elif is_end and stream.parent == "trk" and tracks:
            if name == "name":
                tracks[-1].name = (element.text or "").strip()
            elif name == "type":
                tracks[-1].kind = (element.text or "").strip()
            elif name == "trkseg":
                element.clear()
    return creator, tracks


def _why_none(name: str, tracks: list[_Track], damage: str | None) -> str:
    count = sum(len(track.points.unix_s) for track in tracks)
    timed = sum(track.points.timed_count for track in tracks)
    if count == 0:
        sentence = f"{name} is a GPX file without track points, so there is no recording in it."
    elif timed < FEWEST_RECORDS:
        sentence = (
            f"{name} holds {count:,} track points of which {timed} carry a time: a route, not a recording."
        )
    else:
        sentence = f"{name} holds no track with {FEWEST_RECORDS} points at different times."
    return f"{sentence} {damage}" if damage else sentence
