"""Earlier outings of a library speak of the next one: only those of the sport, begun before, not left out."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from slopebeat.command.main import main
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.review.imports.importing import import_files

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
FILES = [SAMPLES / "hut_supply_hike.fit", SAMPLES / "lake_shore_walk.gpx", SAMPLES / "forest_road_patrol.tcx"]
WARDEN, PATROL = "0" * 32, "1" * 32


@pytest.fixture
def library(tmp_path: Path) -> Path:
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as made:
        made.athletes.add(Athlete(WARDEN, "hut warden"))
        made.athletes.add(Athlete(PATROL, "trail patrol"))
        import_files(made, WARDEN, FILES, workers=1)
    return path


def extension(capsys: pytest.CaptureFixture[str], file: Path, *options: str) -> dict[str, Any]:
    assert main(["review", str(file), "--band", "112-131", *options, "--json", "-"]) == 0
    return dict(json.loads(capsys.readouterr().out)["extension"])


def test_only_earlier_outings_of_the_sport_speak_and_none_of_itself(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Library.open(library) as opened:
        walks = [o for o in opened.outings.of(WARDEN) if not o.on_bike]
    files = {path.name: path for path in FILES}
    told = ["--library", str(library), "--athlete", "hut warden"]
    for number, walk in enumerate(walks, start=1):
        found = extension(capsys, files[walk.file_name], *told)
        assert found["outings"] == number
        if number == 1:
            assert found == extension(capsys, files[walk.file_name])
        else:
            assert found != extension(capsys, files[walk.file_name])


def test_an_outing_left_out_of_what_is_learnt_is_silent(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Library.open(library) as opened:
        walks = [o for o in opened.outings.of(WARDEN) if not o.on_bike]
        opened.outings.set_teaches([walks[0].identity], False)
    last = next(path for path in FILES if path.name == walks[-1].file_name)
    told = ["--library", str(library), "--athlete", "hut warden"]
    assert extension(capsys, last, *told)["outings"] == len(walks) - 1


def test_who_has_no_outings_says_nothing_and_who_is_unknown_is_said_to_be(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = ["--library", str(library)]
    assert extension(capsys, FILES[0], *told, "--athlete", "trail patrol")["outings"] == 1
    assert main(["review", str(FILES[0]), *told, "--athlete", "nobody"]) == 2
    assert "hut warden" in capsys.readouterr().err
    assert main(["review", str(FILES[0]), *told]) == 2
    assert "--athlete" in capsys.readouterr().err
    # Without a library named it is the own one, and there is none here.
    assert main(["review", str(FILES[0]), "--athlete", "hut warden"]) == 2
    assert str(library_path()) in capsys.readouterr().err
