"""How to go the climbs next time, in figures, words and JSON, on the sample hike."""

from __future__ import annotations

from pathlib import Path

import pytest

from slopebeat.analysis.account.held_climbs import HeldClimb
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.held import (
    ground_sentence,
    held_rows,
    held_sentence,
    how_to_go,
    in_band_by_ground,
)
from slopebeat.review.values import review_values

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


@pytest.fixture(scope="module")
def hike() -> Review:
    recording = read_recordings(SAMPLES / "hut_supply_hike.fit")[0]
    return review_recording(recording, Aim(band=Band(112, 131), body_mass_kg=72.0))


def test_minutes_in_band_by_ground_are_the_accounts(hike: Review) -> None:
    assert hike.account is not None
    parts = in_band_by_ground(hike)
    assert sum(parts.values()) == pytest.approx(hike.account.in_band_s)
    assert "going up" in ground_sentence(hike)


def test_every_climb_gone_too_fast_has_an_instruction(hike: Review) -> None:
    rows = held_rows(hike)
    assert [row.start_s for row in rows] == [climb.start_s for climb in hike.climbs]
    for row in rows:
        assert row.speed_mps is not None
        assert row.hold_speed_mps is not None
        assert row.hold_speed_mps < row.speed_mps
        assert row.how
    assert "instead of" in held_sentence(hike)


def test_json_has_the_same_figures(hike: Review) -> None:
    values = review_values(hike)
    assert hike.held is not None
    assert values["climbs_held"]["recorded_s"] == pytest.approx(hike.held.recorded_s)
    assert [row["number"] for row in values["climbs_held"]["climbs"]] == [1, 2, 3]
    assert values["in_band_by_ground_s"] == pytest.approx(in_band_by_ground(hike))


def test_without_a_band_it_is_said_what_is_missing() -> None:
    recording = read_recordings(SAMPLES / "lake_shore_walk.gpx")[0]
    without = review_recording(recording, Aim())
    assert without.held is None
    assert held_sentence(without).startswith("Choose a band")
    assert held_rows(without) == []
    assert in_band_by_ground(without) == {}
    assert ground_sentence(without) == ""


@pytest.mark.parametrize(
    ("speed_mps", "too_steep_s", "on_bike", "said"),
    [
        (None, 0.0, False, "go as you went"),
        (1.0, 0.0, False, "walk at 3.6 km/h, 360 m/h"),
        (2.5, 0.0, False, "run at 9.0 km/h, 360 m/h"),
        (2.5, 0.0, True, "ride at 9.0 km/h, 360 m/h"),
        (2.5, 120.0, True, "ride at 9.0 km/h, 360 m/h and push 2 min of it"),
        (1.5, 900.0, True, "too steep to ride in band: push, or take another way"),
    ],
)
def test_instructions(speed_mps: float | None, too_steep_s: float, on_bike: bool, said: str) -> None:
    rise = None if speed_mps is None else 0.1
    climb = HeldClimb(0, speed_mps, rise, too_steep_s, 1200.0, 60.0)
    assert how_to_go(climb, on_bike) == said
