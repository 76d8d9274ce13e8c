"""The night by the sun against published worked examples, and by the clock."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.analysis.day.night import SUNSET_DEG, night_spans, sun_height_deg, sun_place

MIDNIGHT = datetime(2026, 7, 25, 0, 0, tzinfo=UTC)


def julian(moment: datetime) -> np.ndarray:
    """Meeus, chapter 7: 1970-01-01 0h is 2440587.5."""
    return np.array([2440587.5 + moment.timestamp() / 86400.0])


def test_the_sun_stands_where_the_worked_example_says() -> None:
    """Meeus, Astronomical Algorithms, example 25.a: 1992 October 13 at 0h (value from memory)."""
    ascension, declination = sun_place(np.array([2448908.5]))
    assert np.degrees(ascension[0]) % 360.0 == pytest.approx(198.38083, abs=1e-4)
    assert np.degrees(declination[0]) == pytest.approx(-7.78507, abs=1e-4)


def test_the_sun_rises_when_the_almanac_says() -> None:
    """Almanac for Computers 1990, U.S. Naval Observatory, worked example: 25 June 1990, 40.9 N, 74.3 W: the
    sun rises at 5:26 daylight saving time, four hours behind UTC (value from memory)."""
    place = (np.array([40.9]), np.array([-74.3]))
    before, after = (
        float(sun_height_deg(julian(datetime(1990, 6, 25, 9, m, tzinfo=UTC)), *place)[0]) for m in (24, 28)
    )
    assert before < SUNSET_DEG < after


def test_the_midnight_sun_does_not_set_and_the_polar_night_does_not_end() -> None:
    """Beyond the polar circles, 66.56 degrees (IERS conventions: 90 degrees less the tilt of 23.44)."""
    t = np.arange(0.0, 86_400.0, 600.0)
    for month, spans in ((6, ()), (12, ((0.0, t[-1]),))):
        made = recording(t, lat_deg=np.full(t.size, 70.0), lon_deg=np.full(t.size, 20.0))
        assert night_spans(replace(made, start_utc=datetime(2026, month, 21, tzinfo=UTC))) == spans


def test_a_night_at_the_equator_lasts_a_little_less_than_half_the_day() -> None:
    """At an equinox, 12 h less what refraction and the sun's radius give: twice 50' at 15 degrees an hour."""
    t = np.arange(0.0, 86_401.0, 60.0)
    made = recording(t, lat_deg=np.zeros(t.size), lon_deg=np.zeros(t.size))
    (first, second) = night_spans(replace(made, start_utc=datetime(2026, 3, 20, tzinfo=UTC)))
    hours = ((first[1] - first[0]) + (second[1] - second[0])) / 3600.0
    assert hours == pytest.approx(12.0 - 2.0 * (50.0 / 60.0) / 15.0, abs=0.05)


def test_without_places_the_clock_says_and_without_a_clock_nobody() -> None:
    t = np.arange(0.0, 20 * 3600.0 + 1.0, 600.0)
    made = replace(recording(t), start_utc=MIDNIGHT.replace(hour=13), utc_offset_s=7200.0)
    # From 15:00 to 11:00: the night from 22:00 to 6:00.
    assert night_spans(made) == ((7 * 3600.0, 15 * 3600.0),)
    early = replace(made, start_utc=MIDNIGHT.replace(hour=2), utc_offset_s=0.0)
    assert night_spans(early) == ((0.0, 4 * 3600.0), (20 * 3600.0, 20 * 3600.0))[:1]
    assert night_spans(replace(made, utc_offset_s=None)) == ()
