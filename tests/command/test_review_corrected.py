"""``review`` with what was done put right, and where the work rate comes from."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from slopebeat.command.main import main

WALK = Path(__file__).resolve().parents[2] / "samples" / "lake_shore_walk.gpx"


def told(capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    assert main(["review", str(WALK), "--band", "112-131", "--json", "-", *options]) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_the_sport_and_the_source_of_the_work_rate_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    plain = told(capsys)
    assert (plain["sport"], plain["activity"], plain["work_source"]) == ("walking", "walk", "model")
    skied = told(capsys, "--sport", "other")
    assert (skied["sport"], skied["activity"], skied["work_source"]) == ("other", "other", None)
    assert skied["in_band_s"] == plain["in_band_s"]


def test_an_unknown_sport_is_refused_with_those_on_offer(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", str(WALK), "--sport", "chess"]) == 2
    assert "mountain-biking" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("zone", "said"),
    [("Asia/Kathmandu", "+05:45"), ("America/St_Johns", "-02:30"), ("Europe/Vienna", "+2"), ("UTC", "+0:00")],
)
def test_an_offset_said_by_hand_shows_the_time_of_that_zone(
    zone: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found = told(capsys, f"--utc-offset={said}")
    start = datetime.fromisoformat(found["start_utc"])
    # The time zone database of the standard library (PEP 615).
    there = start.astimezone(ZoneInfo(zone))
    assert timedelta(seconds=found["utc_offset_s"]) == there.utcoffset()
    assert main(["review", str(WALK), "--band", "112-131", f"--utc-offset={said}"]) == 0
    assert f"{there:%Y-%m-%d %H:%M}" in capsys.readouterr().out


@pytest.mark.parametrize("said", ["+15:00", "-12:30", "two", "+01:75", ""])
def test_an_offset_that_no_clock_shows_is_refused(said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", str(WALK), f"--utc-offset={said}"]) == 2
    assert "-12:00 to +14:00" in capsys.readouterr().err


def test_kilometres_steps_of_ascent_and_laps_are_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys)
    parts = found["splits"]["distance"]
    assert [part["distance_m"] for part in parts[:-1]] == pytest.approx([1000.0] * (len(parts) - 1), abs=5.0)
    assert parts[0]["start_s"] == 0.0
    assert [part["end_s"] for part in parts[:-1]] == [part["start_s"] for part in parts[1:]]
    assert sum(part["recorded_s"] for part in parts) == pytest.approx(found["recorded_s"], abs=60.0)
    assert set(found["splits"]) == {"lap", "distance", "ascent"}
