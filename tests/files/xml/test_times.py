"""Times as XML formats write them: impossible ones cost their point and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from files.gpx_making import gpx, point
from files.tcx_making import activity, lap, tcx, track
from helpers.sentences import sentences_of
from slopebeat.files.xml.times import parse_time
from slopebeat.model.recording import Recording

Read = Callable[..., tuple[Recording, ...]]

IMPOSSIBLE = (
    "2024-05-01T08:05:60Z",
    "2024-05-01T08:05:99Z",
    "2024-05-01T24:00:00Z",
    "2024-05-01T08:60:00Z",
    "2024-13-01T08:05:00Z",
    "2024-00-01T08:05:00Z",
    "2024-02-30T08:05:00Z",
    "2023-02-29T08:05:00Z",
    "2024-05-00T08:05:00Z",
    "0000-05-01T08:05:00Z",
)

LEAP_SECONDS = {
    "1990-12-31T23:59:60Z": 662_688_000.0,
    "1990-12-31T15:59:60-08:00": 662_688_000.0,
    "1990-12-31T23:59:60.5Z": 662_688_000.5,
}
"""RFC 3339, section 5.8, gives the first two as examples of the leap second inserted at the end of 1990.
Unix time counts it as the second after it: 1991-01-01T00:00:00Z (POSIX.1, "Seconds Since the Epoch")."""


@pytest.mark.parametrize("time", IMPOSSIBLE)
def test_one_impossible_time_among_many_costs_its_point_alone(read: Read, time: str) -> None:
    points = [point(second) for second in range(900)]
    points[400] = point(400, time=time)
    (made,) = read(gpx(*points))
    assert len(made.samples) == 899
    assert "1 point without a time left out." in sentences_of(made.warnings)
    assert 400.0 not in made.samples["t_s"].tolist()


def test_a_training_document_is_read_alike(read: Read) -> None:
    whole = tcx(activity(lap(0, None, track(*range(900)))))
    written = whole.replace("T08:05:01Z", "T08:05:60Z")
    assert written != whole
    (made,) = read(written)
    assert len(made.samples) == 899
    assert "1 point without a time left out." in sentences_of(made.warnings)


@pytest.mark.parametrize(("text", "unix_s"), LEAP_SECONDS.items())
def test_a_leap_second_is_a_time(text: str, unix_s: float) -> None:
    time = parse_time(text)
    assert time is not None
    assert time.timestamp() == unix_s


@pytest.mark.parametrize(
    "text", ["1990-12-30T23:59:60Z", "1990-12-31T23:59:60-08:00", "9999-12-31T23:59:60Z"]
)
def test_second_60_elsewhere_is_none(text: str) -> None:
    assert parse_time(text) is None


@given(st.datetimes(min_value=datetime(1, 1, 1)))
def test_a_time_is_what_the_library_says(time: datetime) -> None:
    whole = time.replace(microsecond=0, tzinfo=UTC)
    assert parse_time(f"{time.year:04d}-{time:%m-%dT%H:%M:%S}Z") == whole
