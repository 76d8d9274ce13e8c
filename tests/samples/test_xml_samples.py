"""The TCX and GPX samples, read by readers of others, hold the truth they were made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import gpxpy
import numpy as np
import pytest
from defusedxml import ElementTree

TCX = "{http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2}"
LAP_ORDER = (
    "TotalTimeSeconds",
    "DistanceMeters",
    "Calories",
    "AverageHeartRateBpm",
    "MaximumHeartRateBpm",
    "Intensity",
    "TriggerMethod",
)
"""Order of a lap's elements, from the format's schema (TrainingCenterDatabasev2.xsd)."""


@dataclass(frozen=True)
class Ride:
    tracks: list[list[float]]
    hr_bpm: dict[float, float]
    distance_m: dict[float, float]
    laps: list[Any]


@pytest.fixture(scope="module")
def ride(samples_folder: Path) -> Ride:
    root = ElementTree.parse(samples_folder / "forest_road_patrol.tcx").getroot()
    begin = datetime.fromisoformat(root.findtext(f".//{TCX}Id"))
    found = Ride([], {}, {}, root.findall(f".//{TCX}Lap"))
    for track in root.iter(f"{TCX}Track"):
        found.tracks.append([])
        for point in track.iter(f"{TCX}Trackpoint"):
            second = (datetime.fromisoformat(point.findtext(f"{TCX}Time")) - begin).total_seconds()
            found.tracks[-1].append(second)
            found.distance_m[second] = float(point.findtext(f"{TCX}DistanceMeters"))
            beats = point.findtext(f"{TCX}HeartRateBpm/{TCX}Value")
            if beats is not None:
                found.hr_bpm[second] = float(beats)
    return found


@pytest.fixture(scope="module")
def ride_truth(truths: dict[str, dict[str, Any]]) -> dict[str, Any]:
    return truths["forest_road_patrol"]


def test_the_patrol_has_all_records_in_order(ride: Ride, ride_truth: dict[str, Any]) -> None:
    seconds = [second for track in ride.tracks for second in track]
    assert len(seconds) == ride_truth["records"]
    assert seconds == sorted(set(seconds))
    assert (seconds[0], seconds[-1]) == (0.0, ride_truth["span_s"])
    assert list(ride.distance_m.values()) == sorted(ride.distance_m.values())
    assert ride.distance_m[seconds[-1]] == pytest.approx(ride_truth["distance_m"], abs=0.01)


def test_every_pause_of_the_patrol_starts_a_new_track(ride: Ride, ride_truth: dict[str, Any]) -> None:
    breaks = [(a[-1], b[0]) for a, b in pairwise(ride.tracks) if b[0] - a[-1] > 5.0]
    # The timer stops in the second after the last record before the pause.
    expected = [(p["start_s"] - 1.0, float(p["end_s"])) for p in ride_truth["pauses"]]
    assert breaks == expected
    assert len(breaks) == 3
    assert len(ride.tracks) == len(breaks) + len(ride_truth["lap_starts_s"])


def test_laps_of_the_patrol_keep_the_order_of_the_schema_and_add_up(
    ride: Ride, ride_truth: dict[str, Any]
) -> None:
    for lap in ride.laps:
        names = [element.tag.removeprefix(TCX) for element in lap]
        assert tuple(names[: len(LAP_ORDER)]) == LAP_ORDER
        assert set(names[len(LAP_ORDER) :]) == {"Track"}
    timer_s = sum(float(lap.findtext(f"{TCX}TotalTimeSeconds")) for lap in ride.laps)
    assert timer_s == ride_truth["timer_s"]


def test_the_drop_out_of_the_patrol_has_records_without_heart_rate(
    ride: Ride, ride_truth: dict[str, Any]
) -> None:
    (drop_out,) = ride_truth["heart_rate_drop_outs"]
    silent = sorted(set(ride.distance_m) - set(ride.hr_bpm))
    assert len(silent) > 60
    assert drop_out["start_s"] <= silent[0] < drop_out["start_s"] + 4
    assert drop_out["end_s"] - 4 <= silent[-1] < drop_out["end_s"]
    assert max(b - a for a, b in pairwise(silent)) == 4.0


def test_the_spike_of_the_patrol_rises_faster_than_a_heart_can(
    ride: Ride, ride_truth: dict[str, Any]
) -> None:
    (spike,) = ride_truth["heart_rate_spikes"]
    inside = [v for s, v in ride.hr_bpm.items() if spike["start_s"] <= s < spike["end_s"]]
    outside = [v for s, v in ride.hr_bpm.items() if not spike["start_s"] <= s < spike["end_s"]]
    assert len(inside) == 3
    assert min(inside) - ride.hr_bpm[spike["start_s"] - 4.0] > 4 * 5.0
    low, high = ride_truth["true_hr_range_bpm"]
    assert low - 0.5 <= min(outside)
    assert max(outside) <= high + 0.5


def test_records_of_the_patrol_are_lost_where_the_truth_says(ride: Ride, ride_truth: dict[str, Any]) -> None:
    steps = [(a, b) for track in ride.tracks for a, b in pairwise(track) if b - a > 4.0]
    assert len(steps) == len(ride_truth["records_lost"]) == 3
    for (before, after), lost in zip(steps, ride_truth["records_lost"], strict=True):
        assert before < lost["start_s"] < lost["end_s"] <= after


def test_the_stop_of_the_patrol_is_recorded_standing(ride: Ride, ride_truth: dict[str, Any]) -> None:
    (stop,) = ride_truth["stops"]
    during = {d for s, d in ride.distance_m.items() if stop["start_s"] <= s < stop["end_s"]}
    assert len(during) == 1
    assert stop["end_s"] - stop["start_s"] == 150


@pytest.fixture(scope="module")
def walk(samples_folder: Path) -> gpxpy.gpx.GPX:
    return gpxpy.parse((samples_folder / "lake_shore_walk.gpx").read_text())


@pytest.fixture(scope="module")
def walk_truth(truths: dict[str, dict[str, Any]]) -> dict[str, Any]:
    return truths["lake_shore_walk"]


def test_the_walk_is_one_segment_of_three_second_points(
    walk: gpxpy.gpx.GPX, walk_truth: dict[str, Any]
) -> None:
    assert walk.version == "1.1"
    ((segment,),) = (track.segments for track in walk.tracks)
    times = [point.time for point in segment.points if point.time is not None]
    assert len(times) == walk_truth["records"]
    assert times[0] == datetime.fromisoformat(walk_truth["start_local"])
    steps = [(b - a).total_seconds() for a, b in pairwise(times)]
    assert set(steps[:-1]) == {3.0}
    assert sum(steps) == walk_truth["span_s"]


def test_the_walk_has_a_heart_rate_at_every_point_mostly_in_band(
    walk: gpxpy.gpx.GPX, walk_truth: dict[str, Any]
) -> None:
    rates = []
    for point in walk.tracks[0].segments[0].points:
        (element,) = point.extensions
        assert element.tag.rpartition("}")[2] == "hr"
        rates.append(int(element.text))
    beats = np.array(rates)
    lower, upper = walk_truth["athlete"]["band_bpm"]
    share = float(np.mean((beats >= lower) & (beats <= upper)))
    # One second in three is seen; slow noise leaves the share of the rest near it.
    assert share == pytest.approx(walk_truth["seconds"]["in_band"] / walk_truth["timer_s"], abs=0.01)
    assert share > 0.85
    assert beats.max() <= walk_truth["true_hr_range_bpm"][1] + 0.5


def test_the_walk_is_as_long_and_as_flat_as_the_truth_says(
    walk: gpxpy.gpx.GPX, walk_truth: dict[str, Any]
) -> None:
    # Position noise lengthens a track; drawn smoothly it does so by little.
    assert walk.length_2d() == pytest.approx(walk_truth["distance_m"], rel=0.01)
    heights = [p.elevation for p in walk.tracks[0].segments[0].points if p.elevation is not None]
    assert len(heights) == walk_truth["records"]
    assert max(heights) - min(heights) < 20.0
    assert walk_truth["climbs"] == []
