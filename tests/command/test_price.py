"""The price command as a person would run it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import slopebeat
from helpers.outings import an_outing
from helpers.pasts import past
from helpers.summaries import outing
from slopebeat.command.main import main
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.review.summary import COMPUTATION_VERSION


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A trail patrol with twelve rides in April 2026, every second one less even."""
    path = tmp_path / "library.sqlite3"
    one = an_outing(0.0, 140.0, np.random.default_rng(1))
    with Library.create(path) as kept:
        patrol = kept.athletes.add(
            Athlete(new_identity(), "Trail patrol", sessions_per_week=3, minutes_per_week=135)
        ).identity
        kept.bands.put(BandPeriod(patrol, Ground.BIKE, date(2026, 1, 1), Band(112, 132)))
        for number in range(12):
            uneven = number % 2
            ridden = past(122.0, 13.0 if uneven else 7.0, number, variation=0.7 if uneven else 0.3)
            start = ridden.start_utc
            taught = replace(one, kind="ride", sport="cycling", on_bike=True, past=ridden, start_utc=start)
            facts = OutingFacts(0, start, 7200.0, "cycling", True, f"ride {number}")
            aim = kept.inputs(patrol).aim(Ground.BIKE, start.date())
            summary = outing(start_utc=start, in_band_s=1800.0, on_bike=True)
            result = Result(summary, COMPUTATION_VERSION, input_key(aim, Ground.BIKE), taught)
            kept.imports.keep(
                patrol, packed(b"%d" % number), f"{number}.fit", [IncomingOuting(facts, result)]
            )
    return path


def test_the_table_and_the_json_say_the_same(library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call = ["price", "--library", str(library), "--until", "2026-04-12"]
    assert main(call) == 0
    said = capsys.readouterr().out
    assert main([*call, "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    steady, uneven = found["grounds"]
    assert [row["kind"] for row in found["grounds"]] == ["steady", "stop_and_go"]
    assert [row["outings"] for row in found["grounds"]] == [6, 6]
    assert (found["target_s"], found["interval_percent"]) == (2700.0, 80.0)
    assert steady["aimed_clock_low_s"] < steady["aimed_clock_s"] < uneven["aimed_clock_s"]
    minutes = round(steady["aimed_clock_s"] / 60.0)
    row = next(line for line in said.splitlines() if "steady" in line and "Riding  " in line)
    assert f"{minutes // 60} h {minutes % 60} min" in row or f"{minutes} min" in row
    # The week of 2026-04-06 has seven rides of half an hour: nothing is missing of 135 min.
    assert found["week"]["missing_s"] == 0.0
    assert "Nothing is missing" in said


def test_a_program_in_python_gets_the_same(library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call = ["price", "--library", str(library), "--target", "60", "--until", "2026-04-12", "--json", "-"]
    assert main(call) == 0
    said = pd.DataFrame(json.loads(capsys.readouterr().out)["grounds"])
    with slopebeat.open_library(library) as opened:
        priced = opened.price(target_s=3600.0, day=date(2026, 4, 12))
        usual = opened.price(day=date(2026, 4, 12))
    assert len(said) == 2
    assert tuple(priced) == tuple(said)
    for name in ("aimed_clock_s", "as_usual_share", "outings"):
        assert priced[name].to_numpy(float) == pytest.approx(said[name].to_numpy(float), nan_ok=True)
    # A session is prescribed as 45 minutes.
    assert (usual["aimed_clock_s"] < priced["aimed_clock_s"]).all()


def test_a_target_missing_minutes_and_another_band_can_be_given(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call = ["price", "--library", str(library), "--json", "-", "--target", "60", "--missing", "54"]
    assert main([*call, "--band", "150-160"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["target_s"], found["week"]["missing_s"], found["week"]["sessions"]) == (3600.0, 3240.0, 1)
    assert found["sports"][0]["off_band"] is True
    assert found["grounds"][0]["aimed_clock_s"] is None
    assert found["grounds"][0]["aimed_no_length"] == "means_off_band"


@pytest.mark.parametrize(
    ("odd", "says"),
    [(("--until", "soon"), "A day is written as"), (("--missing", "-5"), "between 0 and 1440")],
)
def test_odd_arguments_get_one_sentence(
    library: Path, capsys: pytest.CaptureFixture[str], odd: tuple[str, str], says: str
) -> None:
    assert main(["price", "--library", str(library), *odd]) == 2
    told = capsys.readouterr()
    assert says in told.err
    assert told.out == ""
