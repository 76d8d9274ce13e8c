"""The plan command as a person would run it."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import gpxpy
import pytest

from helpers.earlier_outings import keep_teachers, write_gpx
from slopebeat.command import plan as plan_command
from slopebeat.command.main import main
from slopebeat.command.terminal import ProgressLine
from slopebeat.library.store import Library
from slopebeat.model.people import Aim, Athlete
from slopebeat.model.recording import Recording
from slopebeat.review.imports.importing import import_files
from slopebeat.review.outing import Review, review_recording

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
HIKE = SAMPLES / "hut_supply_hike.fit"
WALK = SAMPLES / "lake_shore_walk.gpx"
RIDE = SAMPLES / "forest_road_patrol.tcx"


@pytest.fixture(scope="module", autouse=True)
def _each_walk_is_reviewed_once() -> Iterator[None]:
    """Nearly every test learns from the same six walks, and what they teach does not change."""
    kept: dict[tuple[str, datetime, Aim], Review] = {}

    def reviewed(recording: Recording, aim: Aim) -> Review:
        key = (recording.file_name, recording.start_utc, aim)
        if key not in kept:
            kept[key] = review_recording(recording, aim)
        return kept[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plan_command, "review_recording", reviewed)
        yield


@pytest.fixture(scope="module")
def walks(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Six earlier outings."""
    return write_gpx(tmp_path_factory.mktemp("walks"))


@pytest.fixture(scope="module")
def hill(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A drawn way of 4 km: level, 200 m up at 10 %, level."""
    rows = []
    for i in range(81):
        along = 50.0 * i
        height = 1500.0 + 0.1 * min(max(along - 1000.0, 0.0), 2000.0)
        rows.append(f'<rtept lat="{46.9 + along / 111_195:.7f}" lon="11.6"><ele>{height}</ele></rtept>')
    path = tmp_path_factory.mktemp("way") / "hill.gpx"
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<rte><name>Shoulder</name>{''.join(rows)}</rte></gpx>"
    )
    return path


def values(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict[str, Any]:
    assert main(["plan", *map(str, arguments), "--json", "-"]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def test_json_has_every_promised_key(
    hill: Path, walks: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    found = values(capsys, hill, "--from", *walks, "--hr-max", 187, "--target", 60, "--load", 5)
    for name in ("total_s", "in_band_s"):
        assert found[f"{name}_low"] <= found[name] <= found[f"{name}_high"]
    assert set(found) >= {"extra_s", "climbs", "references", "warnings", "strategies", "laps", "grades"}
    assert (found["band_bpm"], found["target_s"], found["load_kg"]) == ([112, 131], 3600.0, 5.0)
    assert [each["name"] for each in found["strategies"]] == ["usual", "hold"]
    assert [each["hold_bpm"] for each in found["strategies"]] == [None, 121.5]
    assert found["hold_bpm"] == 121.5
    assert 150.0 < found["pause_s"] < 400.0
    assert found["rule_of_thumb_s"] > 0.0
    assert [each["name"] for each in found["references"]] == ["DIN 33466", "Naismith", "Tobler"]
    (climb,) = found["climbs"]
    assert climb["gain_m"] == pytest.approx(200.0, abs=3.0)
    assert climb["hold_speed_mps_low"] < climb["hold_speed_mps"]
    course = found["strategies"][0]["course"]
    assert len({len(column) for column in course.values()}) == 1
    assert found["outings"] == found["outings_with_response"] == 6


def test_the_heart_rate_to_hold_is_the_users(
    hill: Path, walks: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    found = values(capsys, hill, "--from", *walks, "--band", "112-131", "--hold", 118)
    assert (found["hold_bpm"], found["strategies"][1]["hold_bpm"]) == (118.0, 118.0)
    assert found["strategies"][1]["mean_bpm"] == pytest.approx(118.0, abs=0.5)


def test_another_sport_is_left_out_and_five_outings_are_needed(
    hill: Path, walks: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    found = values(capsys, hill, "--from", *walks, RIDE, "--band", "112-131")
    assert (found["outings"], found["on_bike"]) == (6, False)
    assert any("another sport" in text for text in found["warnings"])
    assert main(["plan", str(hill), "--band", "112-131", "--from", *map(str, walks), "--sport", "run"]) == 2
    assert "5 outings of the sport" in capsys.readouterr().err
    assert main(["plan", str(hill), "--band", "112-131", "--from", str(HIKE)]) == 2
    assert "there is 1" in capsys.readouterr().err


def test_text_and_map_file(
    hill: Path, walks: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "out.gpx"
    learnt = ["--from", *map(str, walks)]
    wanted = ["--band", "112-131", "--loop", "0.5-2", "--gpx", str(target)]
    assert main(["plan", str(hill), *learnt, *wanted]) == 0
    text = capsys.readouterr().out
    for words in (
        "Shoulder",
        "as usual",
        "held at 122 bpm",
        "pauses on top",
        "Distance + 7 x ascent",
        "Climb 1",
        "DIN 33466",
        "not medical advice",
        "Loop",
    ):
        assert words in text
    assert len(gpxpy.parse(target.read_text()).waypoints) == 1


def test_a_library_teaches(hill: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = tmp_path / "library.sqlite3"
    with Library.create(place) as library:
        warden = library.athletes.add(
            Athlete("0" * 32, "hut warden", body_mass_kg=72.0, sessions_per_week=2, minutes_per_week=100.0)
        )
        import_files(library, warden.identity, [HIKE, WALK], workers=1)
        keep_teachers(library, warden.identity, 5)
    found = values(capsys, hill, "--library", place, "--athlete", "Hut Warden", "--band", "112-131")
    assert found["outings"] == 7
    assert found["target_s"] == 3000.0
    assert not found["on_bike"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["none.gpx", "--band", "112-131"], "There is no file"),
        (["{hill}"], "needs a heart-rate band"),
        (["{hill}", "--band", "112-131", "--target", "0"], "A target"),
        (["{hill}", "--band", "112-131", "--way", "4"], "no number 4"),
        (["{hill}", "--band", "112-131", "--loop", "x"], "two kilometres"),
        (["{hill}", "--band", "112-131", "--athlete", "warden"], "not from both"),
        (["{hill}", "--band", "112-131", "--library", "none.sqlite3"], "no library at"),
        (["{hill}", "--band", "112-131", "--body-mass", "2"], "not plausible"),
        (["{hill}", "--band", "112-131", "--load", "nan"], "not plausible"),
        (["{hill}", "--band", "112-131", "--hold", "20"], "not plausible"),
        (["{hill}", "--band", "112-131", "--json", "{hill}/x"], "could not be written"),
    ],
)
def test_what_the_user_can_mend_gets_a_sentence(
    hill: Path, walks: list[Path], capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    given = [text.replace("{hill}", str(hill)) for text in arguments]
    learnt = [] if "--library" in given else ["--from", *map(str, walks)]
    assert main(["plan", *given, *learnt]) == 2
    assert words in capsys.readouterr().err


def test_stopping_leaves_nothing_behind(
    hill: Path,
    walks: list[Path],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def pressed(line: ProgressLine, share: float) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(ProgressLine, "planning", pressed)
    target = tmp_path / "way.gpx"
    # 128 and SIGINT's number 2, as a shell reports it.
    learnt = ["--from", *map(str, walks)]
    assert main(["plan", str(hill), *learnt, "--band", "112-131", "--gpx", str(target)]) == 130
    said = capsys.readouterr()
    assert said.out == ""
    assert "Stopped" in said.err
    assert not target.exists()


def test_progress_is_one_line_of_a_terminal_and_nothing_elsewhere() -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    seen, pipe = Terminal(), io.StringIO()
    for stream in (seen, pipe):
        line = ProgressLine(stream)
        line.learning(0, 3, "Ridge")
        line.planning(0.5)
        line.clear()
    assert pipe.getvalue() == ""
    # Each writing begins at the left and clears the line (ECMA-48: CSI K); the last leaves it empty.
    assert seen.getvalue().split("\r\x1b[K")[1:] == [
        "Learning from outing 1 of 3: Ridge",
        "Planning, 50 %",
        "",
    ]
