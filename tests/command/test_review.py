"""The command as a person would run it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from files.gpx_making import gpx, point
from slopebeat.command.main import main

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
HIKE = SAMPLES / "hut_supply_hike.fit"
WALK = SAMPLES / "lake_shore_walk.gpx"

KEYS = {
    *("start_utc", "sport", "span_s", "recorded_s", "pause_s", "gap_s", "in_band_s", "above_s", "below_s"),
    *("no_hr_s", "stop_s", "moving_s", "distance_m", "ascent_m", "descent_m", "hr_mean_bpm", "hr_max_bpm"),
    *("band_bpm", "yield", "target_s", "needed_s", "extra_s", "climbs", "episodes", "decoupling", "warnings"),
}


def answer_for(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict[str, Any]:
    assert main(["review", *map(str, arguments), "--json", "-"]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def test_the_answer_as_json_has_every_promised_key(capsys: pytest.CaptureFixture[str]) -> None:
    values = answer_for(capsys, HIKE, "--hr-max", 187, "--target", 60)
    assert set(values) >= KEYS
    assert values["band_bpm"] == [112, 131]
    assert values["target_s"] == 3600.0
    assert set(values["climbs"][0]) >= {
        *("start_s", "end_s", "gain_m", "length_m", "grade_mean", "vertical_speed_m_per_h", "above_s"),
        "time_to_exit_s",
    }
    assert set(values["episodes"][0]) >= {"start_s", "end_s", "direction", "peak_bpm", "on_climb"}
    assert set(values["decoupling"]) >= {"pace_percent", "work_percent", "verdict", "reason"}
    assert isinstance(values["episodes"][0]["on_climb"], bool)
    parts = [values[k] for k in ("in_band_s", "above_s", "below_s", "no_hr_s", "pause_s", "gap_s")]
    assert sum(parts) == pytest.approx(values["span_s"], abs=1e-6)
    assert values["needed_s"] == pytest.approx(3600.0 / values["yield"])


def test_the_json_answer_carries_causes_intervals_and_the_terrain_fair_row(
    capsys: pytest.CaptureFixture[str],
) -> None:
    values = answer_for(capsys, HIKE, "--hr-max", 187)
    assert sum(values["causes_s"].values()) == pytest.approx(
        values["above_s"] + values["below_s"] + values["no_hr_s"], abs=1e-6
    )
    answers = values["extension"]
    for way in ("next_as_usual", "next_aimed"):
        assert answers[way]["yield_low"] < answers[way]["yield"] < answers[way]["yield_high"]
        assert answers[way]["interval_percent"] == 80.0
    assert answers["outings"] == 1
    row = values["decoupling"]
    assert row["terrain_fair_low"] < row["terrain_fair_percent"] < row["terrain_fair_high"]
    assert row["drift_low_bpm_per_h"] < row["drift_bpm_per_h"] < row["drift_high_bpm_per_h"]
    assert 20.0 <= row["lag_s"] <= 130.0
    assert 0.0 <= row["delay_s"] <= 15.0
    assert row["raw_low"] < row["raw_percent"] < row["raw_high"]
    # What knows nothing of drifts beforehand is never surer than what does.
    informed, raw = ((row[f"{name}_low"], row[f"{name}_high"]) for name in ("terrain_fair", "raw"))
    assert raw[1] - raw[0] >= 0.95 * (informed[1] - informed[0])
    test = values["drift_test"]
    assert set(test) == {"outcome", "percent", "threshold_percent", "reasons"}
    assert test["threshold_percent"] == 5.0
    assert test["outcome"] == "not_a_test"
    assert all(reason.startswith("drift_test.") for reason in test["reasons"])
    for held in values["ceiling"]:
        assert held["vertical_speed_m_per_h"] == pytest.approx(
            3600 * held["speed_mps"] * held["grade"], rel=1e-6
        )
    assert len(values["ceiling"]) > 3


@pytest.mark.parametrize("hr", [254, 5])
def test_heart_rate_that_is_all_bad_has_neither_mean_nor_maximum(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], hr: int
) -> None:
    # 254 bpm is the greatest heart rate a FIT file can hold (FIT protocol: uint8, 255 is "none").
    points = [point(second, f"<x:hr>{hr}</x:hr>") for second in range(1200)]
    path = tmp_path / "bad.gpx"
    path.write_text(gpx(*points))
    values = answer_for(capsys, path, "--hr-max", 187)
    assert values["hr_mean_bpm"] is None
    assert values["hr_max_bpm"] is None


def test_band_by_hand_and_by_reserve(capsys: pytest.CaptureFixture[str]) -> None:
    assert answer_for(capsys, WALK, "--band", "100-125")["band_bpm"] == [100, 125]
    # Karvonen: 40-59 % of the reserve from 60 to 190 bpm is 112-136.7.
    assert answer_for(capsys, WALK, "--hr-max", 190, "--hr-rest", 60)["band_bpm"] == [112, 137]


def test_a_band_that_was_not_given_stands_in_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    values = answer_for(capsys, WALK)
    assert values["band_bpm"] == [108, 126]
    assert any("No band was given" in text for text in values["warnings"])


def test_json_goes_to_a_file_and_text_to_the_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "answer.json"
    assert main(["review", str(WALK), "--band", "112-131", "--json", str(target)]) == 0
    assert set(json.loads(target.read_text(encoding="utf-8"))) >= KEYS
    assert capsys.readouterr().out == ""
    assert main(["review", str(WALK), "--band", "112-131"]) == 0
    text = capsys.readouterr().out
    assert "Band 112-131 bpm" in text
    assert "not medical advice" in text


@pytest.mark.parametrize("content", [b"", b"no recording at all", b"\x89PNG\r\n\x1a\n" + bytes(50), None])
def test_what_cannot_be_read_is_one_sentence_and_writes_nothing(
    content: bytes | None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source, target = tmp_path / "outing.fit", tmp_path / "answer.json"
    if content is not None:
        source.write_bytes(content)
    assert main(["review", str(source), "--band", "112-131", "--json", str(target)]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(shown.err.strip().splitlines()) == 1
    assert shown.err.strip().endswith(".")
    assert not target.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        ("--band", "131-112"),
        ("--band", "112-131", "--hr-rest", "50"),
        ("--hr-rest", "50"),
        ("--hr-max", "900"),
        ("--hr-max", "nan"),
        ("--band", "112-131", "--target", "-3"),
        ("--band", "112-131", "--target", "0"),
        ("--band", "112-131", "--activity", "9"),
        ("--band", "112-131", "--json", "/no/such/folder/answer.json"),
    ],
)
def test_what_the_user_can_mend_is_said_in_a_sentence(
    wrong: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", str(WALK), *wrong]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.strip().endswith(".")


def test_a_file_of_several_activities_offers_each(
    recordings: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    several = recordings / "two_activities.tcx"
    values = answer_for(capsys, several, "--band", "112-131")
    assert any("holds 2 activities" in text for text in values["warnings"])
    assert values["hr_mean_bpm"] is not None
    second = answer_for(capsys, several, "--band", "112-131", "--activity", 2)
    assert second["start_utc"] > values["start_utc"]


def test_one_elevation_beyond_all_bounds_adds_no_ascent(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points = [point(0).replace("<ele>500</ele>", f"<ele>{500 + i % 2}</ele>") for i in range(900)]
    points = [each.replace("08:00:00", f"08:{i // 60:02d}:{i % 60:02d}") for i, each in enumerate(points)]
    points[450] = points[450].replace("<ele>500</ele>", "<ele>1e308</ele>")
    path = tmp_path / "level.gpx"
    path.write_text(gpx(*points))
    values = answer_for(capsys, path, "--hr-max", 187)
    assert values["ascent_m"] == 0.0
    assert "Values that cannot be were left out: elevation (1)." in values["warnings"]


def test_the_terminal_says_from_which_grade_on_nobody_stays_in_band(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # A band far under what the hike took: its climbs cannot be gone in it at any speed.
    assert main(["review", str(HIKE), "--band", "60-80"]) == 0
    said = capsys.readouterr().out
    steepest = answer_for(capsys, HIKE, "--band", "60-80")["ceiling_too_steep_from_grade"]
    assert steepest is not None
    assert f"{100 * steepest:.0f} % is too steep to walk in band" in said
    assert answer_for(capsys, HIKE, "--band", "150-190")["ceiling_too_steep_from_grade"] is None
