"""When it was night: by the sun where positions are known, else by the clock.

The sun's place is that of the low-accuracy theory, good to 0.01 degrees (Meeus, Astronomical Algorithms, 2nd
edition, chapters 12, 13 and 25).
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np

from slopebeat.model.numerics import true_runs
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array

SUNSET_DEG = -50.0 / 60.0
"""Height of the sun's middle as its edge sets: 34' of refraction, 16' of radius (Meeus, chapter 15)."""

NIGHT_FROM_H, NIGHT_TO_H = 22, 6
"""Night by the clock where nothing says where the sun was [project choice]."""

STEP_S = 60.0
"""The sun is asked for once a minute: it moves by a quarter of a degree meanwhile [project choice]."""

Span = tuple[float, float]


def sun_height_deg(julian_day: Array, lat_deg: Array, lon_deg: Array) -> Array:
    """Height of the sun's middle over the horizon, without refraction; NaN where a place is NaN.

    Parameters
    ----------
    julian_day : (n,) in universal time. lat_deg, lon_deg : (n,) north and east positive.
    """
    right_ascension, declination = sun_place(julian_day)
    sidereal = np.radians(280.46061837 + 360.98564736629 * (julian_day - 2451545.0))
    hour_angle = sidereal + np.radians(lon_deg) - right_ascension
    lat = np.radians(lat_deg)
    up = np.sin(lat) * np.sin(declination) + np.cos(lat) * np.cos(declination) * np.cos(hour_angle)
    return np.asarray(np.degrees(np.arcsin(np.clip(up, -1.0, 1.0))))


def sun_place(julian_day: Array) -> tuple[Array, Array]:
    """Apparent right ascension and declination of the sun, radians (Meeus, chapter 25)."""
    t = (julian_day - 2451545.0) / 36525.0
    mean = np.radians(357.52911 + 35999.05029 * t - 0.0001537 * t**2)
    centre = (
        (1.914602 - 0.004817 * t - 0.000014 * t**2) * np.sin(mean)
        + (0.019993 - 0.000101 * t) * np.sin(2.0 * mean)
        + 0.000289 * np.sin(3.0 * mean)
    )
    node = np.radians(125.04 - 1934.136 * t)
    true = 280.46646 + 36000.76983 * t + 0.0003032 * t**2 + centre
    longitude = np.radians(true - 0.00569 - 0.00478 * np.sin(node))
    tilt = np.radians(23.439291 - 0.0130042 * t + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude))
    return np.asarray(ascension), np.asarray(np.arcsin(np.sin(tilt) * np.sin(longitude)))


def night_spans(recording: Recording) -> tuple[Span, ...]:
    """When it was night, seconds from the first record; nothing without positions and time zone."""
    if recording.span_s <= 0.0:
        return ()
    samples = recording.samples
    lat, lon = samples["lat_deg"], samples["lon_deg"]
    known = np.isfinite(lat) & np.isfinite(lon)
    at = np.append(np.arange(0.0, recording.span_s, STEP_S), recording.span_s)
    if known.any():
        t = samples["t_s"][known]
        day = 2440587.5 + (recording.start_utc.timestamp() + at) / 86400.0
        height = sun_height_deg(day, np.interp(at, t, lat[known]), np.interp(at, t, lon[known]))
        return _runs(at, height < SUNSET_DEG)
    if recording.utc_offset_s is None:
        return ()
    return _by_clock(recording.start_utc + timedelta(seconds=recording.utc_offset_s), recording.span_s)


def _runs(at: Array, dark: np.ndarray) -> tuple[Span, ...]:
    return tuple(
        (float(at[first]), float(at[min(last, at.size - 1)]))
        for first, last in true_runs(dark)
        if last - first > 1
    )


def _by_clock(start: datetime, span_s: float) -> tuple[Span, ...]:
    """The hours of the night between the local ``start`` and the end."""
    evening = start.replace(hour=NIGHT_FROM_H, minute=0, second=0, microsecond=0) - timedelta(days=1)
    long = timedelta(hours=24 - NIGHT_FROM_H + NIGHT_TO_H)
    spans = []
    while (evening - start).total_seconds() < span_s:
        ends = ((each - start).total_seconds() for each in (evening, evening + long))
        first, last = (min(max(end, 0.0), span_s) for end in ends)
        if last > first:
            spans.append((first, last))
        evening += timedelta(days=1)
    return tuple(spans)
