"""Planned routes from GPX 1.0 and 1.1: every route and every track with two different places is one.

A way is written back as GPX 1.1 with its waypoints, for a device or a map.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from xml.etree.ElementTree import Element

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.assembly import distance_along_m
from slopebeat.files.limits import MOST_TRACKS, plain_text, too_many
from slopebeat.files.progress import Progress, Ticker
from slopebeat.files.source import Source, read_bytes, unpacked
from slopebeat.files.xml.head import root_name
from slopebeat.files.xml.parts import DocumentParts, Listener
from slopebeat.files.xml.points import PointColumns
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message
from slopebeat.model.route import Route, Waypoint

LONGEST_ROUTE_M = 500_000.0
"""Longest way taken for one outing on foot or on a bike [project choice]."""

LONGEST_STEP_M = 1_000.0
"""A straight line longer than this between two points is said to be one [project choice]."""

PLAUSIBLE_ELEVATION_M = (-500.0, 9_000.0)
"""Elevations outside are no ground a person walks on: the Dead Sea shore and the highest summit, with a
margin."""

_POINT_NAMES = ("rtept", "trkpt")
_WAY_NAMES = ("rte", "trk")


@dataclass
class _WayAsWritten:
    points: PointColumns = field(default_factory=PointColumns)
    name: str = ""


def read_routes(path: Path, progress: Progress | None = None) -> tuple[Route, ...]:
    """Every planned way of a GPX file, routes and tracks in the order of the file; gzip is unpacked first.

    Raises
    ------
    UnreadableFile
        With a sentence for the user, when the file holds no way.
    Cancelled
        When ``progress`` asked to stop.
    """
    ticker = Ticker(progress)
    source = unpacked(path.name, read_bytes(path, ticker.within(0.0, 0.05)), ticker.within(0.05, 0.1))
    return routes_of(source, ticker.within(0.1, 1.0))


def routes_of(source: Source, ticker: Ticker) -> tuple[Route, ...]:
    """The same from bytes already loaded."""
    root = root_name(source)
    if root != "gpx":
        what = message("content.no_gpx") if root is None else message("content.xml", root=root[:60])
        raise UnreadableFile(message("way.no_gpx", name=source.name, what=what))
    document = _Document()
    damage = DocumentParts(_POINT_NAMES, document).read(source, ticker)
    ways = document.ways
    found = tuple(r for way in ways if (r := _route(way, source, damage)) is not None)
    if not found:
        placed = any(_on_earth(way).any() for way in ways)
        reason = message("way.one_place" if placed else "way.no_points", name=source.name)
        raise UnreadableFile(reason, *damage)
    return found


class _Document(Listener):
    """The ways a GPX document holds, as it is read."""

    def __init__(self) -> None:
        self.ways: list[_WayAsWritten] = []

    def started(self, name: str, _parent: str, _element: Element) -> None:
        if name in _WAY_NAMES:
            if len(self.ways) >= MOST_TRACKS:
                raise too_many("many.tracks", MOST_TRACKS)
            self.ways.append(_WayAsWritten())

    def points_ended(self, points: list[Element]) -> None:
        if self.ways:
            self.ways[-1].points.add(points)

    def ended(self, name: str, parent: str, text: str) -> None:
        if name == "name" and parent in _WAY_NAMES and self.ways:
            self.ways[-1].name = plain_text(text)


def _on_earth(way: _WayAsWritten) -> NDArray[np.bool_]:
    """Which points have a place on Earth; the others are counted and left out."""
    lat, lon = (way.points.column(name) for name in ("lat_deg", "lon_deg"))
    return (np.abs(lat) <= 90.0) & (np.abs(lon) <= 180.0)


def _route(way: _WayAsWritten, source: Source, damage: tuple[Message, ...]) -> Route | None:
    there = _on_earth(way)
    lat, lon, height = (way.points.column(name)[there] for name in ("lat_deg", "lon_deg", "elevation_m"))
    low, high = PLAUSIBLE_ELEVATION_M
    height[~((height >= low) & (height <= high))] = np.nan
    if lat.size < 2:
        return None
    distance = distance_along_m(lat, lon)
    if distance[-1] <= 0.0:
        return None
    if distance[-1] > LONGEST_ROUTE_M:
        raise UnreadableFile(
            message(
                "way.too_long",
                name=source.name,
                distance=round(distance[-1] / 1000),
                most=LONGEST_ROUTE_M / 1000,
            )
        )
    route = Route(distance, height, lat, lon, way.name or source.title, source.name)
    return replace(route, warnings=(*source.warnings, *_findings(route, int(np.sum(~there))), *damage))


def _findings(route: Route, misplaced: int) -> list[Message]:
    longest_m = float(np.diff(route.distance_m).max())
    known = int(np.count_nonzero(np.isfinite(route.elevation_m)))
    found = []
    if misplaced:
        found.append(message("way.misplaced", misplaced=misplaced))
    if not route.has_elevation:
        found.append(
            message("way.little_elevation", known=known, total=len(route))
            if known
            else message("way.no_elevation")
        )
    elif known < len(route):
        found.append(message("way.elevation_gaps", known=len(route) - known))
    if longest_m > LONGEST_STEP_M:
        found.append(message("way.far_apart", length=longest_m / 1000))
    return found


CREATOR = "slopebeat"


def gpx_bytes(route: Route, waypoints: Sequence[Waypoint]) -> bytes:
    """The way as one track, with the waypoints; texts are escaped, control characters become spaces.

    Raises
    ------
    ValueError
        For a route without positions: the caller knows whether it has any.
    """
    if not (np.isfinite(route.lat_deg).all() and np.isfinite(route.lon_deg).all()):
        raise ValueError("a route known by its profile only has nothing to draw on a map")
    import gpxpy.gpx  # only who writes a way waits for it to load

    gpx = gpxpy.gpx.GPX()
    gpx.creator = CREATOR
    for point in waypoints:
        gpx.waypoints.append(
            gpxpy.gpx.GPXWaypoint(
                latitude=round(point.lat_deg, 7),
                longitude=round(point.lon_deg, 7),
                elevation=None if point.elevation_m is None else round(point.elevation_m, 1),
                name=plain_text(point.name),
                description=plain_text(point.description),
            )
        )
    segment = gpxpy.gpx.GPXTrackSegment()
    rows = zip(route.lat_deg.tolist(), route.lon_deg.tolist(), route.elevation_m.tolist(), strict=True)
    for lat, lon, height in rows:
        elevation = round(height, 1) if math.isfinite(height) else None
        segment.points.append(gpxpy.gpx.GPXTrackPoint(round(lat, 7), round(lon, 7), elevation=elevation))
    gpx.tracks.append(gpxpy.gpx.GPXTrack(name=plain_text(route.title)))
    gpx.tracks[0].segments.append(segment)
    return str(gpx.to_xml(version="1.1")).encode("utf-8")
