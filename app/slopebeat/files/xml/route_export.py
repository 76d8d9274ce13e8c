"""A route with its waypoints as GPX 1.1, for a device or a map."""

from __future__ import annotations

import math
from collections.abc import Sequence

import gpxpy.gpx

from slopebeat.files.limits import plain_text
from slopebeat.model.route import Route, Waypoint

CREATOR = "slopebeat"


def gpx_bytes(route: Route, waypoints: Sequence[Waypoint]) -> bytes:
    """The way as one track, with the waypoints; texts are escaped, control characters become spaces.

    Raises
    ------
    ValueError
        For a route without positions: the caller knows whether it has any.
    """
    if not _has_positions(route):
        raise ValueError("a route known by its profile only has nothing to draw on a map")
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


def _has_positions(route: Route) -> bool:
    return all(map(math.isfinite, (*route.lat_deg.tolist(), *route.lon_deg.tolist())))
