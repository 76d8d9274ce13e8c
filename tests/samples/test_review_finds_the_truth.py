"""What the program makes of the sample files, held against what they were made from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording

FILES = ("hut_supply_hike.fit", "forest_road_patrol.tcx", "lake_shore_walk.gpx")
RECORD_STEP_S = {"hut_supply_hike": 1.0, "forest_road_patrol": 4.0, "lake_shore_walk": 3.0}


@pytest.fixture(scope="module")
def reviews(samples_folder: Path, truths: dict[str, dict[str, Any]]) -> dict[str, Review]:
    found = {}
    for name in FILES:
        (recording,) = read_recordings(samples_folder / name)
        truth = truths[Path(name).stem]
        aim = Aim(Band(*truth["athlete"]["band_bpm"]), body_mass_kg=truth["athlete"]["body_mass_kg"])
        found[Path(name).stem] = review_recording(recording, aim)
    return found


@pytest.mark.parametrize("stem", RECORD_STEP_S)
def test_span_and_pauses_are_found(
    reviews: dict[str, Review], truths: dict[str, dict[str, Any]], stem: str
) -> None:
    recording, truth = reviews[stem].recording, truths[stem]
    assert recording.span_s == truth["span_s"]
    expected = [(p["start_s"], p["end_s"]) for p in truth["pauses"]]
    assert len(recording.pauses) == len(expected)
    for pause, true in zip(recording.pauses, expected, strict=True):
        # Without timer events a pause starts at the last record before it, one second early here.
        assert pause == pytest.approx(true, abs=1.0)


def test_one_record_a_second_gives_the_seconds_in_band_exactly(
    reviews: dict[str, Review], truths: dict[str, dict[str, Any]]
) -> None:
    account, truth = reviews["hut_supply_hike"].account, truths["hut_supply_hike"]["seconds"]
    assert account is not None
    assert account.in_band_s == truth["in_band"]
    assert account.above_s == truth["above"]
    assert account.below_s == truth["below"]
    assert account.no_hr_s == 0.0


@pytest.mark.parametrize("stem", ["forest_road_patrol", "lake_shore_walk"])
def test_sparser_records_give_the_seconds_in_band_within_what_they_cannot_see(
    reviews: dict[str, Review], truths: dict[str, dict[str, Any]], stem: str
) -> None:
    account, truth = reviews[stem].account, truths[stem]
    assert account is not None
    true = truth["seconds_with_trusted_heart_rate"]
    lost = sum(r["end_s"] - r["start_s"] for r in truth.get("records_lost", []))
    # Records every few seconds miss about 1 % of the time near the edges; lost records at most their length.
    slack = 0.01 * truth["timer_s"] + lost
    for found, name in (
        (account.in_band_s, "in_band"),
        (account.above_s, "above"),
        (account.below_s, "below"),
    ):
        assert found == pytest.approx(true[name], abs=slack), name
    assert account.no_hr_s == pytest.approx(true["heart_rate_not_trusted"], abs=2 * RECORD_STEP_S[stem])


@pytest.mark.parametrize("stem", RECORD_STEP_S)
def test_climbs_are_found_with_their_gain(
    reviews: dict[str, Review], truths: dict[str, dict[str, Any]], stem: str
) -> None:
    found, true = reviews[stem].climbs, truths[stem]["climbs"]
    assert len(found) == len(true)
    for climb, drawn in zip(found, true, strict=True):
        # Smoothing takes something off feet and tops, and the barometer wanders by 2 m.
        assert climb.gain_m == pytest.approx(drawn["gain_m"], abs=8.0)
        assert drawn["foot_s"] - 60 < climb.start_s < drawn["top_s"]


@pytest.mark.parametrize("stem", ["hut_supply_hike", "forest_road_patrol"])
def test_ascent_is_found_within_a_few_percent(
    reviews: dict[str, Review], truths: dict[str, dict[str, Any]], stem: str
) -> None:
    # The barometer's wandering and dips smaller than its threshold are worth a few metres per climb.
    assert reviews[stem].elevation.ascent_m == pytest.approx(truths[stem]["ascent_m"], rel=0.035)


def test_the_faults_of_the_patrol_are_marked(
    reviews: dict[str, Review], truths: dict[str, dict[str, Any]]
) -> None:
    marks = reviews["forest_road_patrol"].marks
    truth = truths["forest_road_patrol"]
    for fault in (*truth["heart_rate_drop_outs"], *truth["heart_rate_spikes"]):
        covered = [m for m in marks if m.start_s <= fault["start_s"] + 4 and m.end_s >= fault["end_s"] - 4]
        assert len(covered) == 1, fault
    assert reviews["hut_supply_hike"].marks == reviews["lake_shore_walk"].marks == ()
