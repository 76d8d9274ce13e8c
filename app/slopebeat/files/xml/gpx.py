"""Recordings from GPX 1.0 and 1.1: every track with times is one."""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from slopebeat.files.assembly import FEWEST_RECORDS, findings
from slopebeat.files.limits import MOST_TRACKS, too_many
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.sports import sport_of, sport_text_of
from slopebeat.files.xml.parts import DocumentParts, Listener
from slopebeat.files.xml.points import PointColumns
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message
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
    document = GpxDocument()
    damage = DocumentParts(("trkpt",), document).read(source, ticker)
    tracks = document.tracks
    tables = [track.points.assembled() for track in tracks]
    if not any(table.enough for table in tables):
        raise UnreadableFile(_why_none(source.name, tracks), *damage)
    warnings = (*findings(tables), *damage)
    return tuple(
        Recording(
            samples=table.samples,
            start_utc=table.start_utc,
            sport=sport_of(track.kind),
            sport_text=sport_text_of(track.kind),
            utc_offset_s=track.points.utc_offset_s,
            device=document.creator,
            title=track.name,
            warnings=warnings,
            damage=damage,
        )
        for track, table in zip(tracks, tables, strict=True)
        if table.enough
    )


class GpxDocument(Listener):
    """What a GPX document holds, as it is read.

    Attributes
    ----------
    tracks : in the order of the file, each with its points.
    """

    def __init__(self) -> None:
        self.creator = ""
        self.tracks: list[_Track] = []

    def started(self, name: str, _parent: str, element: Element) -> None:
        if name == "gpx":
            self.creator = element.get("creator", "").strip()
        elif name == "trk":
            if len(self.tracks) >= MOST_TRACKS:
                raise too_many("many.tracks", MOST_TRACKS)
            self.tracks.append(_Track())

    def points_ended(self, points: list[Element]) -> None:
        if self.tracks:
            self.tracks[-1].points.add(points)

    def ended(self, name: str, parent: str, text: str) -> None:
        if parent != "trk" or not self.tracks:
            return
        if name == "name":
            self.tracks[-1].name = text
        elif name == "type":
            self.tracks[-1].kind = text


def _why_none(name: str, tracks: list[_Track]) -> Message:
    count = sum(len(track.points) for track in tracks)
    timed = sum(track.points.timed_count for track in tracks)
    if count == 0:
        return message("gpx.no_points", name=name)
    if timed < FEWEST_RECORDS:
        return message("gpx.route", name=name, count=count, timed=timed)
    return message("gpx.few_points", name=name, fewest=FEWEST_RECORDS)
