"""Decoupling of the invented outings against the truth their generator wrote beside them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from slopebeat.analysis.response.decoupling import Verdict
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


def reviewed(name: str) -> tuple[Review, dict[str, object]]:
    (path,) = (p for p in SAMPLES.glob(f"{name}.*") if p.suffix in {".fit", ".gpx", ".tcx"})
    truth = json.loads((SAMPLES / "truth" / f"{name}.json").read_text(encoding="utf-8"))
    athlete, load = truth["athlete"], truth.get("load") or {}
    aim = Aim(
        Band(*athlete["band_bpm"]),
        truth["target_minutes"] * 60.0,
        athlete["body_mass_kg"],
        load.get("load_kg", 0.0),
        load_until_s=load.get("carried_until_s"),
    )
    (recording,) = read_recordings(path)
    return review_recording(recording, aim), truth


@pytest.mark.parametrize("name", ["hut_supply_hike", "forest_road_patrol", "lake_shore_walk"])
def test_the_true_decoupling_lies_in_the_terrain_fair_interval(name: str) -> None:
    review, truth = reviewed(name)
    true_percent = truth["terrain_fair_decoupling"]["percent"]  # type: ignore[index]
    fair = review.terrain_fair
    assert fair.percent is not None
    assert fair.interval_percent is not None
    low, high = fair.interval_percent
    assert low <= true_percent <= high
    assert fair.percent == pytest.approx(true_percent, abs=2.0)


def test_on_terrain_the_plain_row_is_far_off_where_the_fair_row_is_not() -> None:
    review, truth = reviewed("hut_supply_hike")
    true_percent = truth["terrain_fair_decoupling"]["percent"]  # type: ignore[index]
    pace = review.decoupling.pace.percent
    assert pace is not None
    assert review.terrain_fair.percent is not None
    assert abs(pace - true_percent) > 5.0 > abs(review.terrain_fair.percent - true_percent)


def test_level_ground_allows_the_plain_comparison() -> None:
    review, _ = reviewed("lake_shore_walk")
    assert review.decoupling.pace.verdict is Verdict.STEADY
