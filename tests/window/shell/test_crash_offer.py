"""A crash leaves a log and an offer at the next start; a clean end leaves neither."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import platformdirs
import pytest
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_S
from helpers.window_acts import next_review
from slopebeat.disk.places import running_folder
from slopebeat.plots.colours import LIGHT
from slopebeat.session.ended import LastOpened, RunningNote
from slopebeat.session.session import Session
from slopebeat.window.shell.main_window import MainWindow

PROGRAM = """
import faulthandler, sys
from pathlib import Path
from PySide6.QtCore import QTimer
from slopebeat.window.shell import app

begin = app.open_window

def open_window(paths, demo=False):
    window = begin(paths, demo)
    how = {
        "fault": faulthandler._sigsegv,
        "clean": window.close,
    }[sys.argv[1]]
    window.session.outing.reviewed.connect(lambda: QTimer.singleShot(0, how))
    return window

app.open_window = open_window
sys.exit(app.run([Path(sys.argv[2])]))
"""


def _run(how: str, file: Path) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own, with the same isolated folders, ended in some way."""
    command = [sys.executable, "-c", PROGRAM, how, str(file)]
    return subprocess.run(command, capture_output=True, text=True, timeout=WAIT_S, check=False)


def _logs() -> list[Path]:
    folder = platformdirs.user_log_path("slopebeat", appauthor=False)
    return sorted(folder.glob("*.log")) if folder.is_dir() else []


@pytest.fixture
def next_start(qtbot: QtBot) -> MainWindow:
    """The window as it is put up, before its offer."""
    made = MainWindow(Session(), LIGHT)
    qtbot.addWidget(made)
    made.show()
    return made


@pytest.mark.skipif(sys.platform == "win32", reason="ends a process by a signal")
def test_a_fault_leaves_a_log_and_an_offer_that_opens_again(
    next_start: MainWindow, walk_file: Path, qtbot: QtBot
) -> None:
    ended = _run("fault", walk_file)
    assert ended.returncode < 0
    (log,) = _logs()
    assert "Segmentation fault" in log.read_text(encoding="utf-8")
    running = RunningNote(next_start.session)
    next_start.crash_offer.offer(running.begin())
    other = Session()
    again = RunningNote(other)
    assert again.begin() is None
    again.end()
    other.close()
    assert next_start.crash_offer.isVisible()
    assert "ended unexpectedly" in next_start.crash_offer.text.text()
    with next_review(next_start.session, qtbot):
        next_start.crash_offer.again.click()
    assert next_start.session.outing.recordings[0].file_name == walk_file.name
    assert not next_start.crash_offer.isVisible()
    running.end()
    assert list(running_folder().iterdir()) == []
    next_start.session.close()


def test_a_clean_end_leaves_nothing(walk_file: Path) -> None:
    assert _run("clean", walk_file).returncode == 0
    assert list(running_folder().iterdir()) == []
    assert _logs() == []


def test_a_program_that_still_runs_is_not_taken_for_a_crash(walk_file: Path, qtbot: QtBot) -> None:
    session, other = Session(), Session()
    note = RunningNote(session)
    assert note.begin() is None
    with next_review(session, qtbot):
        session.open([walk_file])
    assert len(list(running_folder().glob("*.json"))) == 1
    assert RunningNote(other).begin() is None
    assert len(list(running_folder().glob("*.json"))) == 1
    note.end()
    session.close()
    other.close()


@pytest.mark.parametrize("text", ["", "{", "[]", '{"name": 1}', '{"name": "x", "paths": 3}', "null"])
def test_a_damaged_note_is_no_offer(text: str) -> None:
    running_folder().mkdir(parents=True)
    (running_folder() / "half.json").write_text(text, encoding="utf-8")
    session = Session()
    note = RunningNote(session)
    assert note.begin() is None
    note.end()
    assert list(running_folder().iterdir()) == []
    session.close()


def test_files_that_are_gone_are_not_offered(tmp_path: Path, window: MainWindow) -> None:
    assert not LastOpened("walk", (str(tmp_path / "gone.gpx"),)).still_there
    window.crash_offer.offer(None)
    assert not window.crash_offer.isVisible()
