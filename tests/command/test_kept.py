"""What was kept of a recording in the window reaches the command."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from slopebeat.command.main import main
from slopebeat.library.notebooks import Notebooks
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.model.recording import content_hash

WALK = Path(__file__).resolve().parents[2] / "samples" / "lake_shore_walk.gpx"
BAND = ["--band", "112-131"]


@pytest.fixture
def _kept() -> None:
    """A remark, a doubt of the first ten minutes and a load on the walk."""
    remark = new_note(NoteKind.REMARK, Author.COACH, "wind on the pass", start_s=600.0)
    doubt = Mark(0.0, 600.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    key = ContentKey(content_hash(WALK.read_bytes()), 0)
    Notebooks().write(key, Notebook((remark,), (doubt,), (9.0, None), "Round the lake"))


def reviewed(capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    assert main(["review", str(WALK), *BAND, "--json", "-", *options]) == 0
    return dict(json.loads(capsys.readouterr().out))


@pytest.mark.usefixtures("_kept")
def test_marks_kept_are_left_out_only_when_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    plain, kept = reviewed(capsys), reviewed(capsys, "--kept")
    # Ten minutes doubted by hand can be counted no more; every second of the rest is as before.
    assert plain["no_hr_s"] == 0.0
    assert kept["no_hr_s"] == pytest.approx(600.0, abs=5.0)
    assert kept["recorded_s"] == plain["recorded_s"]


@pytest.mark.usefixtures("_kept", "qapp")
def test_notes_kept_come_into_tables_and_report(tmp_path: Path) -> None:
    page, tables = tmp_path / "walk.html", tmp_path / "tables"
    assert main(["review", str(WALK), *BAND, "--kept", "--html", str(page), "--csv", str(tables)]) == 0
    assert "wind on the pass" in page.read_text(encoding="utf-8")
    assert "Round the lake" in page.read_text(encoding="utf-8")
    assert "wind on the pass" in (tables / "notes.csv").read_text(encoding="utf-8")
    assert len(pd.read_csv(tables / "notes.csv")) == 1


@pytest.mark.usefixtures("_kept", "qapp")
def test_a_load_that_is_given_goes_before_the_one_kept(tmp_path: Path) -> None:
    texts = []
    for options in ((), ("--load", "4")):
        page = tmp_path / "walk.html"
        assert main(["review", str(WALK), *BAND, "--kept", *options, "--html", str(page)]) == 0
        texts.append(page.read_text(encoding="utf-8").replace("\N{NO-BREAK SPACE}", " "))
    assert "load 9 kg" in texts[0]
    assert "load 4 kg" in texts[1]


def test_without_anything_kept_nothing_changes(capsys: pytest.CaptureFixture[str]) -> None:
    assert reviewed(capsys, "--kept") == reviewed(capsys)


def test_a_library_that_is_not_there_is_said_in_a_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", str(WALK), *BAND, "--kept", "--library", str(tmp_path / "none")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
