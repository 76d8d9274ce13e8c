"""GPX 1.1 and TCX 2 activities, written as text."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from .outing import Outing
from .truth import runs

GPX_POINT_NAMESPACE = "urn:invented-outing:track-point"
"""Namespace of the heart rate of a track point; readers go by the local name ``hr``."""
JOULE_PER_KCAL = 4184.0


def _utc(start: datetime, second: int) -> str:
    return (start + timedelta(seconds=second)).astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def write_gpx(outing: Outing, rows: NDArray[np.intp], start: datetime, title: str, kind: str) -> bytes:
    """A GPX 1.1 track of one segment with heart rate in the extension of each point."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="generator of invented outings" '
        f'xmlns="http://www.topografix.com/GPX/1/1" xmlns:point="{GPX_POINT_NAMESPACE}">',
        f"<metadata><name>{title}</name><time>{_utc(start, 0)}</time></metadata>",
        f"<trk><name>{title}</name><type>{kind}</type><trkseg>",
    ]
    for row in rows.tolist():
        lat, lon = outing["lat_deg"][row], outing["lon_deg"][row]
        rate = outing["hr_bpm"][row]
        heart = f"<extensions><point:hr>{rate:.0f}</point:hr></extensions>" if np.isfinite(rate) else ""
        lines.append(
            f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{outing["elevation_m"][row]:.1f}</ele>'
            f"<time>{_utc(start, row)}</time>{heart}</trkpt>"
        )
    lines += ["</trkseg></trk></gpx>", ""]
    return "\n".join(lines).encode()


def write_tcx(
    outing: Outing, rows: NDArray[np.intp], start: datetime, lap_starts_s: Sequence[int], efficiency: float
) -> bytes:
    """A TCX activity; a new Track starts after every pause.

    Parameters
    ----------
    efficiency : work at the pedals over energy turned over, for the calories the format asks for.
    """
    end_s = int(outing.timer_running.size) - 1
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<TrainingCenterDatabase xmlns="http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2">',
        f'<Activities><Activity Sport="Biking"><Id>{_utc(start, 0)}</Id>',
    ]
    for first, last in zip(lap_starts_s, [*lap_starts_s[1:], end_s], strict=True):
        in_lap = rows[(rows >= first) & ((rows < last) | (last == end_s))]
        lines += _lap(outing, in_lap, start, first, last, efficiency)
    lines += ["</Activity></Activities>", "</TrainingCenterDatabase>", ""]
    return "\n".join(lines).encode()


def _lap(
    outing: Outing, rows: NDArray[np.intp], start: datetime, first: int, last: int, efficiency: float
) -> list[str]:
    timer = outing.timer_running[first:last]
    work_j = float(outing["true_work_w_per_kg"][first:last][timer].sum()) * outing.athlete.body_mass_kg
    heart_rate = outing["hr_bpm"][rows]
    tracks = np.searchsorted(rows, [begin for begin, _ in runs(~outing.timer_running)])
    lines = [
        f'<Lap StartTime="{_utc(start, first)}"><TotalTimeSeconds>{int(timer.sum())}</TotalTimeSeconds>'
        f"<DistanceMeters>{outing['distance_m'][last] - outing['distance_m'][first]:.2f}</DistanceMeters>"
        f"<Calories>{work_j / efficiency / JOULE_PER_KCAL:.0f}</Calories>"
        f"<AverageHeartRateBpm><Value>{np.nanmean(heart_rate):.0f}</Value></AverageHeartRateBpm>"
        f"<MaximumHeartRateBpm><Value>{np.nanmax(heart_rate):.0f}</Value></MaximumHeartRateBpm>"
        "<Intensity>Active</Intensity><TriggerMethod>Manual</TriggerMethod>"
    ]
    for part in np.split(rows, np.unique(tracks)):
        if part.size:
            lines += ["<Track>", *(_trackpoint(outing, row, start) for row in part.tolist()), "</Track>"]
    return [*lines, "</Lap>"]


def _trackpoint(outing: Outing, row: int, start: datetime) -> str:
    rate = outing["hr_bpm"][row]
    heart = f"<HeartRateBpm><Value>{rate:.0f}</Value></HeartRateBpm>" if np.isfinite(rate) else ""
    return (
        f"<Trackpoint><Time>{_utc(start, row)}</Time><Position>"
        f"<LatitudeDegrees>{outing['lat_deg'][row]:.7f}</LatitudeDegrees>"
        f"<LongitudeDegrees>{outing['lon_deg'][row]:.7f}</LongitudeDegrees></Position>"
        f"<AltitudeMeters>{outing['elevation_m'][row]:.1f}</AltitudeMeters>"
        f"<DistanceMeters>{outing['distance_m'][row]:.2f}</DistanceMeters>{heart}</Trackpoint>"
    )
