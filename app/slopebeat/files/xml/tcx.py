"""Recordings from TCX: every activity is one."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from xml.etree.ElementTree import Element

import numpy as np

from slopebeat.files.assembly import FEWEST_RECORDS, Assembled, findings, laps_from_starts, pauses_within
from slopebeat.files.limits import MOST_LAPS, MOST_TRACKS, too_many
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.sports import sport_of, sport_text_of
from slopebeat.files.xml.parts import DocumentParts, Listener
from slopebeat.files.xml.points import PointColumns, finite_number
from slopebeat.files.xml.times import parse_time
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message
from slopebeat.model.recording import DeviceTotals, Recording

SHORTEST_LAP_PAUSE_S = 2.0
"""Time between laps that no timer counted and is still taken for rounding [project choice]."""


@dataclass
class _Lap:
    """A lap as written; ``tracks`` are ranges of indices into the activity's points."""

    start_unix_s: float
    timer_s: float = math.nan
    distance_m: float = math.nan
    tracks: list[tuple[int, int]] = field(default_factory=list)


@dataclass
class _Activity:
    kind: str
    points: PointColumns = field(default_factory=PointColumns)
    laps: list[_Lap] = field(default_factory=list)
    device: str = ""


def read_tcx(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    """Every activity of a TCX file that has two points with different times.

    Raises
    ------
    UnreadableFile
        When there is no such activity, or the document is refused.
    """
    document = TcxDocument()
    damage = DocumentParts(("trackpoint",), document).read(source, ticker)
    activities = document.activities
    tables = [activity.points.assembled() for activity in activities]
    recordings = [
        _recording(activity, table)
        for activity, table in zip(activities, tables, strict=True)
        if table.enough
    ]
    if not recordings:
        count = sum(len(activity.points) for activity in activities)
        sentence = message(
            "tcx.few_points", name=source.name, activities=len(activities), count=count, fewest=FEWEST_RECORDS
        )
        raise UnreadableFile(sentence, *damage)
    warnings = (*findings(tables), *damage)
    return tuple(replace(each, warnings=warnings, damage=damage) for each in recordings)


class TcxDocument(Listener):
    """What a TCX document holds, as it is read."""

    def __init__(self) -> None:
        self.activities: list[_Activity] = []
        self._inside = False

    def started(self, name: str, _parent: str, element: Element) -> None:
        if name == "activity":
            if len(self.activities) >= MOST_TRACKS:
                raise too_many("many.activities", MOST_TRACKS)
            self.activities.append(_Activity(element.get("Sport", "")))
            self._inside = True
        elif self._inside:
            self._start(self.activities[-1], name, element)

    def _start(self, activity: _Activity, name: str, element: Element) -> None:
        if name == "lap":
            if len(activity.laps) >= MOST_LAPS:
                raise too_many("many.laps", MOST_LAPS)
            start = parse_time(element.get("StartTime"))
            activity.laps.append(_Lap(start.timestamp() if start else math.nan))
        elif name == "track" and activity.laps:
            here = len(activity.points)
            activity.laps[-1].tracks.append((here, here))

    def points_ended(self, points: list[Element]) -> None:
        if self._inside:
            self.activities[-1].points.add(points)
            self._lengthen(self.activities[-1])

    def _lengthen(self, activity: _Activity) -> None:
        """Let the track under way reach to the last point."""
        lap = activity.laps[-1] if activity.laps else None
        if lap and lap.tracks:
            lap.tracks[-1] = (lap.tracks[-1][0], len(activity.points))

    def ended(self, name: str, parent: str, text: str) -> None:
        if not self._inside:
            return
        activity = self.activities[-1]
        lap = activity.laps[-1] if activity.laps else None
        if name == "activity":
            self._inside = False
        elif parent == "lap" and lap and name == "totaltimeseconds":
            lap.timer_s = finite_number(text)
        elif parent == "lap" and lap and name == "distancemeters":
            lap.distance_m = finite_number(text)
        elif parent == "creator" and name == "name":
            activity.device = text


def _recording(activity: _Activity, table: Assembled) -> Recording:
    start_s, span_s = table.start_unix_s, float(table.samples["t_s"][-1])
    lap_starts_s = [lap.start_unix_s - start_s for lap in activity.laps]
    return Recording(
        samples=table.samples,
        start_utc=table.start_utc,
        sport=sport_of(activity.kind),
        sport_text=sport_text_of(activity.kind),
        utc_offset_s=activity.points.utc_offset_s,
        device=activity.device,
        pauses=pauses_within(_pauses(activity), start_s, span_s),
        laps=laps_from_starts(lap_starts_s, span_s),
        totals=DeviceTotals(
            timer_s=_sum([lap.timer_s for lap in activity.laps]),
            distance_m=_sum([lap.distance_m for lap in activity.laps]),
        ),
    )


def _sum(values: list[float]) -> float | None:
    """The sum, None when there is nothing or a part is unknown."""
    total = math.fsum(values) if values else math.nan
    return None if math.isnan(total) else total


def _pauses(activity: _Activity) -> list[tuple[float, float]]:
    """Stops between tracks, as (from, to) in Unix time.

    A new track within a lap is a stop. A new lap always begins a new track, stop or not; there the
    stop is the part of the lap that its own timer did not count, at most the break between the tracks.
    """
    unix_s = np.array(activity.points.unix_s)
    pauses: list[tuple[float, float]] = []
    previous_end: float | None = None
    previous_lap: _Lap | None = None
    paused_in_lap_s = 0.0
    for lap in activity.laps:
        unaccounted_s = _unaccounted_s(previous_lap, lap, paused_in_lap_s)
        paused_in_lap_s = 0.0
        for number, (first, behind) in enumerate(lap.tracks):
            times = unix_s[first:behind]
            times = times[np.isfinite(times)]
            if not times.size:
                continue
            if previous_end is not None:
                pause_s = times[0] - previous_end
                if number == 0:
                    pause_s = min(pause_s, unaccounted_s)
                else:
                    paused_in_lap_s += max(pause_s, 0.0)
                if pause_s >= SHORTEST_LAP_PAUSE_S:
                    pauses.append((float(times[0] - pause_s), float(times[0])))
            previous_end = float(times[-1])
        previous_lap = lap
    return pauses


def _unaccounted_s(previous: _Lap | None, lap: _Lap, paused_s: float) -> float:
    """Seconds of the previous lap that neither its timer nor its stops explain; 0 when unknown."""
    if previous is None:
        return 0.0
    unaccounted = lap.start_unix_s - previous.start_unix_s - previous.timer_s - paused_s
    return 0.0 if math.isnan(unaccounted) else unaccounted
