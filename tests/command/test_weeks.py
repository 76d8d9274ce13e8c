"""``slopebeat weeks`` gives the figures of the board, as text, JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from helpers.libraries import FIRST, keep
from helpers.summaries import outing
from slopebeat.command.main import main
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.people import Athlete, BandPeriod, Ground, Phase, PhaseKind, Prescription

DAYS = (0, 2, 5, 8, 9, 15, 23, 70, 74)
"""Of the outings since Monday 5 January 2026: four weeks, six without any, and one more."""


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("weeks") / "two.sqlite3"
    with Library.create(path) as library:
        who = library.athletes.add(Athlete(new_identity(), "Hut warden", minutes_per_week=60.0))
        library.athletes.add(Athlete(new_identity(), "Trail patrol"))
        library.bands.put(BandPeriod(who.identity, Ground.FOOT, date(2026, 1, 1), Band(112, 131)))
        library.dated.put(Prescription(who.identity, date(2026, 1, 19), 30.0, 1, 20.0))
        library.dated.put(
            Phase(new_identity(), who.identity, PhaseKind.ILLNESS, date(2026, 1, 14), date(2026, 1, 20))
        )
        edges = {
            "above_upper_down_s": 2600.0,
            "above_upper_up_s": 900.0,
            "below_lower_down_s": 700.0,
            "below_lower_up_s": 1500.0,
        }
        rows = [
            outing(
                start_utc=FIRST + timedelta(days=day),
                title=f"Way {at}",
                in_band_s=1000.0 + 37 * at,
                above_s=1500.0 - 11 * at,
                recorded_s=600.0 if at == 4 else 7200.0,
                **edges,
            )
            for at, day in enumerate(DAYS)
        ]
        keep(library, who.identity, rows)
    return path


def told(capsys: pytest.CaptureFixture[str], place: Path, *more: str) -> str:
    assert main(["weeks", "--library", str(place), "--to", "2026-03-22", *more]) == 0
    return capsys.readouterr().out


def weeks_of(values: dict[str, Any]) -> list[dict[str, Any]]:
    first, second = values["athletes"]
    assert (first["athlete"], second["athlete"], second["weeks"]) == ("Hut warden", "Trail patrol", [])
    return list(first["weeks"])


def test_the_weeks_agree_with_sums_by_pandas(capsys: pytest.CaptureFixture[str], place: Path) -> None:
    weeks = weeks_of(json.loads(told(capsys, place, "--json", "-")))
    frame = pd.DataFrame(
        {
            "s": [1000.0 + 37 * at for at in range(len(DAYS))],
            "above": [1500.0 - 11 * at for at in range(len(DAYS))],
        },
        index=pd.DatetimeIndex([FIRST + timedelta(days=day) for day in DAYS]),
    )
    sums = frame.resample("W-SUN").sum()
    expected = {
        f"{day:%G-W%V}": (row.s, row.above) for day, row in zip(sums.index, sums.itertuples(), strict=True)
    }
    found = {week["week"]: (week["in_band_s"], week["above_s"]) for week in weeks}
    assert found == {name: pair for name, pair in expected.items() if pair[0] > 0.0}
    assert [week["break_weeks"] for week in weeks] == [0, 0, 0, 0, 6]
    assert [week["prescribed_minutes"] for week in weeks] == [60.0, 60.0, 30.0, 30.0, 30.0]
    assert [week["too_much_above"] for week in weeks] == [None, None, True, True, True]
    assert [[phase["kind"] for phase in week["phases"]] for week in weeks] == [
        *([], ["illness"], ["illness"], [], []),
    ]
    assert weeks[1]["apart"] == {"no_band": [], "no_heart_rate": [], "short": ["Way 4"]}
    assert weeks[3]["mean_in_band_s"] == pytest.approx(sums["s"].rolling(4).mean().iloc[3])
    assert weeks[4]["mean_in_band_s"] is None
    assert weeks[0]["above_upper_down_s"] == 3 * 2600.0


def test_csv_holds_the_same_in_minutes(capsys: pytest.CaptureFixture[str], place: Path) -> None:
    weeks = weeks_of(json.loads(told(capsys, place, "--json", "-")))
    rows = list(csv.DictReader(io.StringIO(told(capsys, place, "--csv", "-"))))
    assert [row["week"] for row in rows] == [week["week"] for week in weeks]
    for row, week in zip(rows, weeks, strict=True):
        assert float(row["in_band_min"]) == pytest.approx(week["in_band_s"] / 60)
        assert float(row["above_min"]) == pytest.approx(week["above_s"] / 60)
        assert row["athlete"] == "Hut warden"


def test_the_terminal_names_the_break_the_limit_and_what_is_counted_apart(
    capsys: pytest.CaptureFixture[str], place: Path
) -> None:
    text = told(capsys, place, "--athlete", "hut warden")
    assert "2026-W12, after 6 weeks without outings" in text
    assert "2026-W02, counted apart" not in text
    assert "2026-W03, counted apart: Way 4: recorded under 20 min" in text
    assert "too much: over 20" in text
    assert "not medical advice" in text
    assert "Trail patrol" not in text


def test_one_week_or_some_days_can_be_asked_for(capsys: pytest.CaptureFixture[str], place: Path) -> None:
    (week,) = weeks_of(json.loads(told(capsys, place, "--json", "-", "--week", "2026-W03")))
    assert (week["week"], week["outings"]) == ("2026-W03", 2)
    days = weeks_of(json.loads(told(capsys, place, "--json", "-", "--from", "2026-01-14")))
    assert [(week["week"], week["outings"]) for week in days] == [
        *(("2026-W03", 1), ("2026-W04", 1), ("2026-W05", 1), ("2026-W12", 2)),
    ]
    assert "With the upper edge 3 bpm lower" in told(capsys, place, "--week", "2026-W02")


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        (("--week", "2026-W54"), "2026-W54"),
        (("--week", "28"), "year and number"),
        (("--from", "the fifth"), "year, month and day"),
        (("--athlete", "Nobody"), "Nobody"),
        (("--json", "-", "--csv", "-"), "asked for twice"),
    ],
)
def test_what_the_user_can_mend_is_said_in_a_sentence(
    capsys: pytest.CaptureFixture[str], place: Path, more: Sequence[str], sentence: str
) -> None:
    assert main(["weeks", "--library", str(place), *more]) == 2
    assert sentence in capsys.readouterr().err


def test_phases_are_compared_a_week_each_with_the_days_of_none(
    capsys: pytest.CaptureFixture[str], place: Path
) -> None:
    (first, _) = json.loads(told(capsys, place, "--json", "-"))["athletes"]
    ill, free = first["phases"]
    # From 14 to 20 January lie two outings, of the first and the last day; 70 other days up to 22 March.
    assert (ill["phase"]["kind"], ill["days"], ill["outings"]) == ("illness", 7, 2)
    assert (free["phase"], free["days"], free["outings"]) == (None, 70, 7)
    seconds = [1000.0 + 37 * at for at in range(len(DAYS))]
    while_ill = seconds[4] + seconds[5]
    assert ill["in_band_s"] == pytest.approx(while_ill)
    assert free["in_band_s"] == pytest.approx((sum(seconds) - while_ill) / 10)
    assert "illness" in told(capsys, place, "--athlete", "Hut warden")


@pytest.mark.usefixtures("qapp")
def test_a_report_of_every_week_is_written_in_each_format(
    capsys: pytest.CaptureFixture[str], place: Path, tmp_path: Path
) -> None:
    for name in ("weeks.pdf", "weeks.html", "weeks.txt"):
        told(capsys, place, "--report", str(tmp_path / name))
    assert (tmp_path / "weeks.pdf").read_bytes().startswith(b"%PDF-")
    for name in ("weeks.html", "weeks.txt"):
        text = (tmp_path / name).read_text(encoding="utf-8").replace("\u00a0", " ")
        rows = weeks_of(json.loads(told(capsys, place, "--json", "-")))
        assert all(week["week"] in text for week in rows)
        assert "2026-W12, after 6 weeks without outings" in text
        assert "Way 4: recorded under 20 min" in text
        assert "Trail patrol" in text
    assert main(["weeks", "--library", str(place), "--report", str(tmp_path / "weeks.doc")]) == 2
    assert "nothing was saved" in capsys.readouterr().err
