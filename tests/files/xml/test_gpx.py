"""GPX made as text, in the spellings met in the wild; an independent reader agrees on the real ones."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Callable
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import gpxpy
import gpxpy.geo
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from files.gpx_making import gpx, point
from helpers.checks import not_none
from helpers.sentences import sentences_of
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.xml.gpx import GpxDocument
from slopebeat.files.xml.parts import DocumentParts
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.numerics import EARTH_RADIUS_M
from slopebeat.model.recording import Recording, Sport

Read = Callable[..., tuple[Recording, ...]]

SPELLINGS = {
    "prefixed": "<x:TrackPointExtension><x:hr>{}</x:hr></x:TrackPointExtension>",
    "bare": "<hr>{}</hr>",
    "capitals": "<x:HR>{}</x:HR>",
    "long": "<x:heartrate>{}</x:heartrate>",
    "camel": "<x:heartRate>{}</x:heartRate>",
    "underscore": "<heart_rate>{}</heart_rate>",
    "value inside": "<x:HeartRateBpm><x:Value>{}</x:Value></x:HeartRateBpm>",
    "deep": "<x:a><x:b><x:hr> {} </x:hr></x:b></x:a>",
}


@pytest.mark.parametrize("spelling", SPELLINGS.values(), ids=SPELLINGS)
def test_heart_rate_is_found_however_it_is_spelled(read: Read, spelling: str) -> None:
    (recording,) = read(gpx(*(point(s, spelling.format(100 + s)) for s in range(3))))
    assert recording.samples["hr_bpm"].tolist() == [100.0, 101.0, 102.0]


def test_other_sensors_are_read_too(read: Read) -> None:
    extensions = (
        "<x:hr>99</x:hr><x:cad>70</x:cad><x:atemp>12.5</x:atemp><power>180</power><x:speed>1.5</x:speed>"
    )
    (recording,) = read(gpx(point(0, extensions), point(1)))
    row = recording.samples.frame().iloc[0]
    assert row["cadence_rpm"] == 70.0
    assert row["temperature_c"] == 12.5
    assert row["power_w"] == 180.0
    assert row["speed_mps"] == 1.5
    assert (row["elevation_m"], row["lat_deg"], row["lon_deg"]) == (500.0, 46.0, 14.5)
    assert recording.samples.frame().iloc[1][["hr_bpm", "cadence_rpm", "speed_mps"]].isna().all()


def test_speed_of_version_1_0_is_read(read: Read) -> None:
    (recording,) = read(gpx(point(0, more="<speed>2.25</speed>"), point(1), version="1.0"))
    assert recording.samples["speed_mps"][0] == 2.25


def test_track_name_type_and_creator_are_passed_on(read: Read) -> None:
    (recording,) = read(gpx(point(0), point(1), kind="Hiking", name="To the upper hut"))
    assert (recording.title, recording.sport, recording.device) == (
        "To the upper hut",
        Sport.HIKING,
        "hut recorder",
    )


@pytest.mark.parametrize(
    ("word", "sport"),
    [
        ("mountain_biking", Sport.MOUNTAIN_BIKING),
        ("MTB", Sport.MOUNTAIN_BIKING),
        ("cycling", Sport.CYCLING),
        ("Trail Running", Sport.RUNNING),
        ("walking", Sport.WALKING),
        ("kayaking", Sport.OTHER),
        ("", Sport.UNKNOWN),
    ],
)
def test_type_is_taken_as_the_sport(read: Read, word: str, sport: Sport) -> None:
    (recording,) = read(gpx(point(0), point(1), kind=word))
    assert recording.sport is sport


def test_every_track_is_a_recording_and_segments_are_not_pauses(read: Read) -> None:
    segments = "".join(f"<trkseg>{point(s)}{point(s + 5)}</trkseg>" for s in (0, 20))
    later = f"<trk><trkseg>{point(100)}{point(101)}</trkseg></trk>"
    first, second = read(f"<gpx>{later}<trk>{segments}</trk><trk></trk></gpx>", "day.gpx")
    assert first.samples["t_s"].tolist() == [0.0, 5.0, 20.0, 25.0]
    assert not len(first.pauses)
    assert (second.span_s, second.title) == (1.0, "day, 2 of 2")


@pytest.mark.parametrize(
    ("text", "utc", "offset_s"),
    [
        ("2024-05-01T08:00:00Z", "2024-05-01T08:00:00+00:00", None),
        ("2024-05-01T08:00:00", "2024-05-01T08:00:00+00:00", None),
        ("2024-05-01T10:00:00.500+02:00", "2024-05-01T08:00:00.500000+00:00", 7200.0),
        ("2024-05-01T04:30:00-03:30", "2024-05-01T08:00:00+00:00", -12_600.0),
    ],
)
def test_times_become_utc(read: Read, text: str, utc: str, offset_s: float | None) -> None:
    (recording,) = read(gpx(point(0, time=text), point(0, time="2024-05-01T09:00:00Z")))
    assert recording.start_utc.isoformat() == utc
    assert recording.utc_offset_s == offset_s


def test_disorder_repeats_and_bad_numbers_are_put_right(read: Read) -> None:
    rows = [
        point(3, "<hr>103</hr>"), point(1, "<hr>NaN</hr>"), point(1, "<power>inf</power>"),
        point(2, "<hr>many</hr>", lat=95.0), point(0, "<hr>0</hr>"), point(4, "<hr>-5</hr>"),
    ]  # fmt: skip
    (recording,) = read(gpx(*rows))
    assert recording.samples["t_s"].tolist() == [0.0, 1.0, 2.0, 3.0, 4.0]
    nan = math.nan
    assert recording.samples["hr_bpm"].tolist() == pytest.approx([nan, nan, nan, 103, nan], nan_ok=True)
    assert np.isnan(recording.samples["power_w"]).all()
    assert np.isnan(recording.samples["lat_deg"][2])


def test_points_without_time_are_left_out_and_said(read: Read) -> None:
    (recording,) = read(gpx(point(0), point(1, time=""), point(2, time="noon"), point(3)))
    assert recording.samples["t_s"].tolist() == [0.0, 3.0]
    assert sentences_of(recording.warnings) == ("2 points without a time left out.",)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (gpx(point(0, time=""), point(1)), "2 track points of which 1 carry a time"),
        (gpx(point(0), point(0)), "no track with 2 points at different times"),
        ('<gpx><rte><rtept lat="1" lon="2"/></rte></gpx>', "without track points"),
    ],
)
def test_a_gpx_file_without_a_recording_is_refused_in_a_sentence(
    read: Read, content: str, words: str
) -> None:
    with pytest.raises(UnreadableFile, match=words):
        read(content)


def test_distance_is_the_file_own_where_it_has_one(read: Read) -> None:
    (recording,) = read(gpx(point(0, "<x:distance>5</x:distance>"), point(1, "<x:distance>8.5</x:distance>")))
    assert recording.samples["distance_m"].tolist() == [5.0, 8.5]


def test_distance_is_else_measured_along_the_positions(read: Read) -> None:
    (recording,) = read(gpx(*(point(s, lat=46.0 + s / 10) for s in range(3))))
    # Along a meridian the distance on a sphere is radius times angle.
    expected = EARTH_RADIUS_M * np.radians([0.0, 0.1, 0.2])
    np.testing.assert_allclose(recording.samples["distance_m"], expected, rtol=1e-9)


def test_a_file_that_breaks_off_gives_what_came_before(read: Read) -> None:
    whole = gpx(*(point(s) for s in range(50)))
    (recording,) = read(whole[: whole.index("08:00:30")])
    assert len(recording.samples) == 30
    assert [text for text in sentences_of(recording.warnings) if "breaks off" in text]


@pytest.mark.parametrize("end", ["<", "<trkpt", '<trkpt lat="1', "</trk>", "</trkseg></trk></gpx>more"])
def test_a_last_point_that_is_whole_is_kept_at_damage_behind_it(read: Read, end: str) -> None:
    whole = gpx(*(point(s) for s in range(5)))
    (recording,) = read(whole[: whole.index("</trkseg>")] + end)
    assert recording.samples["t_s"].tolist() == [0.0, 1.0, 2.0, 3.0, 4.0]
    assert [text for text in sentences_of(recording.warnings) if "breaks off" in text]


def test_an_independent_reader_finds_the_same_points(
    opened: Callable[[Path], tuple[Recording, ...]], recordings_folder: Path
) -> None:
    path = recordings_folder / "run_gpx_extension_hr.gpx"
    points = gpxpy.parse(path.read_text(encoding="utf-8")).tracks[0].segments[0].points
    (recording,) = opened(path)
    samples = recording.samples
    times = [not_none(each.time) for each in points]
    assert samples["t_s"].tolist() == [(each - times[0]).total_seconds() for each in times]
    np.testing.assert_array_equal(samples["lat_deg"], [each.latitude for each in points])
    np.testing.assert_array_equal(samples["lon_deg"], [each.longitude for each in points])
    np.testing.assert_array_equal(samples["elevation_m"], [each.elevation for each in points])
    hr = [float(each.extensions[0][0].text) for each in points]
    assert samples["hr_bpm"].tolist() == hr
    # Its own haversine runs on the equatorial radius; only the radius may differ.
    along = sum(
        gpxpy.geo.haversine_distance(a.latitude, a.longitude, b.latitude, b.longitude)
        for a, b in pairwise(points)
    )
    ratio = EARTH_RADIUS_M / gpxpy.geo.EARTH_RADIUS
    assert samples["distance_m"][-1] == pytest.approx(along * ratio, rel=1e-6)


VALUE = st.one_of(st.none(), st.sampled_from(("", " ", "\n")), st.integers(-40, 260), st.floats(-500, 9000))
MADE_POINT = st.fixed_dictionaries(
    {
        "lat": st.floats(-90, 90),
        "ele": VALUE,
        "time": st.one_of(st.none(), st.datetimes(datetime(1990, 1, 1), datetime(2030, 1, 1))),
        "form": st.sampled_from(("%Y-%m-%dT%H:%M:%SZ", "%Y-%m-%dT%H:%M:%S.%fZ", "%Y-%m-%dT%H:%M:%S+02:00")),
        "hr": VALUE,
    }
)


def written(made: dict[str, Any]) -> str:
    """A track point of these values; what is None has no element."""
    ele = "" if made["ele"] is None else f"<ele>{made['ele']}</ele>"
    when = "" if made["time"] is None else f"<time>{made['time'].strftime(made['form'])}</time>"
    extensions = "" if made["hr"] is None else f"<extensions><x:hr>{made['hr']}</x:hr></extensions>"
    return f'<trkpt lat="{made["lat"]}" lon="7.25">{ele}{when}{extensions}</trkpt>'


@settings(deadline=None, max_examples=60)
@given(st.lists(MADE_POINT, min_size=1, max_size=6), st.integers(1, 40), st.booleans())
def test_an_independent_reader_finds_bit_for_bit_the_same_in_points_of_any_make(
    made: list[dict[str, Any]], repeats: int, in_runs: bool
) -> None:
    """Alike or not, with values, blanks and elements missing: what each point holds is what gpxpy finds."""
    points_made = [point for point in made for _ in range(repeats)] if in_runs else made * repeats
    document = gpx(*(written(point) for point in points_made))
    # The other reader refuses an element without a number.
    plain = re.sub(r"<ele>\s*</ele>", "", document)
    expected = gpxpy.parse(plain).tracks[0].segments[0].points
    listener = GpxDocument()
    source = Source("made.gpx", document.encode())
    assert DocumentParts(("trkpt",), listener).read(source, Ticker(None)) == ()
    points = listener.tracks[0].points
    assert len(points) == len(expected)
    columns = defaultdict(lambda: np.full(len(points), np.nan), points.columns())
    for name, value in (("lat_deg", "latitude"), ("lon_deg", "longitude"), ("elevation_m", "elevation")):
        theirs = [getattr(each, value) for each in expected]
        np.testing.assert_array_equal(
            columns[name], [math.nan if each is None else each for each in theirs], err_msg=name
        )
    times = [math.nan if each.time is None else each.time.timestamp() for each in expected]
    np.testing.assert_array_equal(points.unix_s, times)
    heart = [each.extensions[0].text if each.extensions else None for each in expected]
    np.testing.assert_array_equal(
        columns["hr_bpm"], [float(text) if text and text.strip() else math.nan for text in heart]
    )
