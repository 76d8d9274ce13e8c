"""Resistances by kind of riding, beside power that was measured on the road."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slopebeat.analysis.response.riding import ROAD, TRAIL, road_load_of
from slopebeat.analysis.response.work_rate import RoadLoad, work_rate_w_per_kg
from slopebeat.cleaning.clean import clean
from slopebeat.files.reading import read_recordings
from slopebeat.model.recording import Sport
from synthetic import recording

T = np.arange(0.0, 1200.0)


def load_of(sport: Sport, said: str, speed: float) -> RoadLoad:
    made = replace(recording(T, speed=speed, sport=sport), said=said)
    return road_load_of(made, clean(made).track)


def test_the_files_words_go_before_the_speed() -> None:
    assert load_of(Sport.CYCLING, "cycling/road", 4.0) is ROAD
    assert load_of(Sport.CYCLING, "cycling/gravel_cycling", 8.0) is TRAIL
    assert load_of(Sport.MOUNTAIN_BIKING, "", 8.0) is TRAIL
    assert load_of(Sport.CYCLING, "cycling", 7.5) is ROAD
    assert load_of(Sport.CYCLING, "cycling", 4.0) is TRAIL


def modelled_over_measured(path: Path, riding: RoadLoad | None) -> float:
    """Mean modelled power over the mean a meter measured, while moving; 75 kg on a bike of 10 kg."""
    track = clean(read_recordings(path)[0]).track
    known = track.moving & np.isfinite(track.power_w) & np.isfinite(track.grade)
    unmetered = replace(track, power_w=np.full(len(track), np.nan))
    load = road_load_of(read_recordings(path)[0], track) if riding is None else riding
    work = 75.0 * work_rate_w_per_kg(unmetered, 75.0, 0.0, 10.0, riding=load)
    seconds = track.recorded_s[known]
    return float(np.average(work[known], weights=seconds) / np.average(track.power_w[known], weights=seconds))


METERED = ("big_endian_auto_pauses", "road_device_zone_times", "road_hr_missing_half", "road_power_1hz")


def test_road_rides_are_nearer_the_meter_than_with_a_forest_bikes_resistances(recordings: Path) -> None:
    """The meters are the outside check; mass and posture of the riders are not known, nor is the wind."""
    new = [modelled_over_measured(recordings / f"{name}.fit", None) for name in METERED]
    old = [modelled_over_measured(recordings / f"{name}.fit", TRAIL) for name in METERED]
    assert np.mean(np.abs(np.log(new))) < 0.6 * np.mean(np.abs(np.log(old)))
    assert np.mean(new) == pytest.approx(1.0, abs=0.2)
