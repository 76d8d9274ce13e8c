"""``review`` with what was done put right, and where the work rate comes from."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

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
