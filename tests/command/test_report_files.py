"""Report and tables from the command line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest

from helpers.patience import WAIT_S
from slopebeat.command.main import main

pytestmark = pytest.mark.usefixtures("qapp")

ROOT = Path(__file__).resolve().parents[2]
WALK = ROOT / "samples" / "lake_shore_walk.gpx"


def test_report_and_tables_are_written_and_nothing_is_printed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pdf, page, folder = tmp_path / "walk.pdf", tmp_path / "walk.html", tmp_path / "tables"
    wanted = ["--pdf", str(pdf), "--html", str(page), "--csv", str(folder)]
    assert main(["review", str(WALK), "--band", "112-131", *wanted]) == 0
    shown = capsys.readouterr()
    assert (shown.out, shown.err) == ("", "")
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert "not medical advice" in page.read_text(encoding="utf-8")
    assert sorted(path.name for path in folder.iterdir()) == [
        *("climbs.csv", "episodes.csv", "notes.csv", "samples.csv", "splits.csv")
    ]
    assert len(pd.read_csv(folder / "samples.csv")) > 1000
    assert sorted(path.name for path in tmp_path.iterdir()) == ["tables", "walk.html", "walk.pdf"]


@pytest.mark.parametrize("option", ["--pdf", "--html", "--csv"])
def test_a_place_that_cannot_be_written_is_one_sentence(
    option: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert main(["review", str(WALK), "--band", "112-131", option, str(blocked / "report")]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(shown.err.strip().splitlines()) == 1
    assert shown.err.strip().endswith(".")


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="there is always a display there")
def test_a_machine_without_a_display_writes_the_pdf(tmp_path: Path) -> None:
    hidden = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    bare = {name: value for name, value in os.environ.items() if name not in hidden}
    target = tmp_path / "walk.pdf"
    command = [sys.executable, "-m", "slopebeat", "review", str(WALK), "--pdf", str(target)]
    done = subprocess.run(
        command,
        env=bare | {"PYTHONPATH": str(ROOT / "app")},
        capture_output=True,
        check=False,
        timeout=WAIT_S,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert target.stat().st_size > 10_000


def test_without_a_report_the_command_starts_without_qt() -> None:
    code = (
        "import sys; from slopebeat.command.main import main; main(sys.argv[1:]); "
        "sys.exit(any(name.startswith('PySide6') for name in sys.modules))"
    )
    command = [sys.executable, "-c", code, "review", str(WALK), "--band", "112-131"]
    environment = os.environ | {"PYTHONPATH": str(ROOT / "app")}
    assert subprocess.run(command, env=environment, capture_output=True, check=False).returncode == 0
