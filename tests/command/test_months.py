"""The months command as a person would run it."""

from __future__ import annotations

import io
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from helpers.libraries import teach
from helpers.summaries import outing
from slopebeat.command.main import main
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.summary import COMPUTATION_VERSION

START = datetime(2026, 1, 5, 8, tzinfo=UTC)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A hut warden with one outing a week for 12 weeks, the sixth missing, and a patrol with none."""
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as kept:
        warden = kept.athletes.add(
            Athlete(new_identity(), "Hut warden", sessions_per_week=1, minutes_per_week=60)
        )
        kept.athletes.add(Athlete(new_identity(), "Trail patrol"))
        for week in range(12):
            if week != 5:
                _keep(kept, warden.identity, week)
        teach(kept, warden.identity, [150.0 - 2.0 * i for i in range(11)])
    return path


def _keep(
    kept: Library, athlete: str, week: int, reviewed: bool = True, version: int = COMPUTATION_VERSION
) -> None:
    start = START + timedelta(weeks=week)
    fair = 9.0 - 0.6 * week
    summary = outing(
        start_utc=start,
        utc_offset_s=3600.0,
        terrain_fair_percent=fair,
        terrain_fair_low=fair - 1.5,
        terrain_fair_high=fair + 1.5,
        in_band_s=3600.0 if week % 2 else 1800.0,
    )
    facts = OutingFacts(0, start, 3600.0, "hiking", False, f"week {week}")
    aim = kept.inputs(athlete).aim(Ground.FOOT, start.date())
    result = Result(summary, version, input_key(aim, Ground.FOOT)) if reviewed else None
    kept.imports.keep(athlete, packed(f"{week}".encode()), f"{week}.fit", [IncomingOuting(facts, result)])


def answer_for(capsys: pytest.CaptureFixture[str], library: Path, *arguments: str) -> dict[str, Any]:
    assert main(["months", "--library", str(library), *arguments, "--json", "-"]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def test_weeks_and_trends_come_out_as_json(library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    values = answer_for(capsys, library, "--athlete", "hut warden", "--to", "2026-03-30")
    assert values["athlete"] == "Hut warden"
    assert values["outings"] == 11
    assert [week["week"] for week in values["weeks"]] == [f"2026-W{n:02d}" for n in range(2, 15)]
    assert values["weeks"][5] | {"monday": ""} == {
        "week": "2026-W07",
        "monday": "",
        "outings": 0,
        "in_band_s": 0.0,
        "recorded_s": 0.0,
        "unbanded": 0,
        "sessions": 0,
        "missing_s": 3600.0,
        "missing_sessions": 1,
        "met": False,
        "above_s": 0.0,
        "break_weeks": 0,
        "most_above": None,
    }
    assert [week["met"] for week in values["weeks"]].count(True) == 5
    fair = next(s for s in values["series"] if s["figure"] == "Terrain-fair decoupling")
    assert fair["trend"]["slope"] == pytest.approx(-0.6)
    assert fair["trend"]["change"] == pytest.approx(-6.6)
    assert fair["verdict"] == "no change can be told"
    assert [(c["figure"], c["question"]) for c in values["changes"]] == [
        ("level", "lasting"),
        ("level", "now_against_then"),
        ("drift", "lasting"),
        ("drift", "now_against_then"),
    ]
    level = values["changes"][0]
    # The levels put in fall by 20 beats.
    assert level["low"] < -20.0 < level["high"] < 0.0
    assert (level["outings"], level["sport"], level["left_out"]) == (11, "walk", [])
    assert fair["unit"] == "percent"
    assert fair["points"][0] == {
        "start_utc": START.isoformat(),
        "value": 9.0,
        "low": 7.5,
        "high": 10.5,
    }
    assert {s["unit"] for s in values["series"]} == {"percent", "m/s", "share", "bpm"}


def test_the_terminal_shows_verdicts_weeks_and_cautions(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["months", "--library", str(library), "--athlete", "Hut warden", "--to", "2026-03-30"]) == 0
    text = capsys.readouterr().out
    assert "5 of 12 weeks met the prescription" in text
    assert "Walking and hiking, 11 outings in 11 weeks: heart rate at your usual work is" in text
    assert "lower than at the start (95 %:" in text
    (week,) = (line.split() for line in text.splitlines() if line.startswith("2026-W07"))
    assert week == ["2026-W07", "0", "0", "0", "0", "60", "1"]
    assert "not medical advice" in text


def test_only_one_kind_of_ground_when_asked(library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    values = answer_for(capsys, library, "--athlete", "Hut warden", "--ground", "bike")
    assert (values["outings"], values["weeks"], values["series"]) == (0, [], [])
    assert values["sentences"] == ["No outing has been chosen."]


def test_outings_without_a_valid_review_are_counted(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Library.open(library) as kept:
        patrol = kept.athletes.named("trail patrol")
        assert patrol is not None
        _keep(kept, patrol.identity, 0, reviewed=False)
        _keep(kept, patrol.identity, 1, version=COMPUTATION_VERSION - 1)
    values = answer_for(capsys, library, "--athlete", "Trail patrol")
    assert values["outings"] == 1
    assert [text.split(" reviewed")[0] for text in values["warnings"]] == ["1 outing is not", "1 outing was"]
    assert answer_for(capsys, library, "--athlete", "Hut warden")["warnings"] == []


def test_json_goes_to_a_file(library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "months.json"
    assert main(["months", "--library", str(library), "--athlete", "Hut warden", "--json", str(target)]) == 0
    assert json.loads(target.read_text(encoding="utf-8"))["outings"] == 11
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "Hut warden, Trail patrol"),
        (("--athlete", "Nobody"), "no athlete named Nobody"),
        (("--athlete", "Hut warden", "--json", "/no/such/folder/x.json"), "could not be written"),
    ],
)
def test_what_the_user_can_mend_is_said_in_a_sentence(
    arguments: tuple[str, ...], words: str, library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["months", "--library", str(library), *arguments]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert words in shown.err
    assert shown.err.strip().endswith(".")


@pytest.mark.parametrize("content", [None, b"", b"no library"])
def test_what_is_no_library_is_refused_and_left_alone(
    content: bytes | None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "library.sqlite3"
    if content is not None:
        path.write_bytes(content)
    assert main(["months", "--library", str(path), "--athlete", "Hut warden"]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(shown.err.strip().splitlines()) == 1
    assert (path.read_bytes() if path.exists() else None) == content


def test_figures_come_out_as_csv_and_a_report_says_the_verdicts(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ("--athlete", "hut warden", "--to", "2026-03-30")
    values = answer_for(capsys, library, *asked)
    report = tmp_path / "months.txt"
    assert main(["months", "--library", str(library), *asked, "--csv", "-", "--report", str(report)]) == 0
    frame = pd.read_csv(io.StringIO(capsys.readouterr().out))
    fair = frame[frame["figure"] == "Terrain-fair decoupling"]
    # Put in: 9 less 0.6 a week, the sixth of twelve weeks missing.
    assert fair["value"].tolist() == pytest.approx([9.0 - 0.6 * week for week in range(12) if week != 5])
    assert (fair["high"] - fair["low"]).tolist() == pytest.approx([3.0] * 11)
    assert len(frame) == sum(len(each["points"]) for each in values["series"])
    text = report.read_text(encoding="utf-8")
    assert text.startswith("Months of Hut warden")
    assert all(sentence in text for sentence in values["sentences"])
