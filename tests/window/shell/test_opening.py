"""Opening recordings as a person does: by drop, dialog, command line, menu; and what goes wrong."""

from __future__ import annotations

import threading
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

import slopebeat.__main__ as entry
from helpers.patience import WAIT_MS, WAIT_S
from helpers.window_acts import drop, next_review, review_of
from slopebeat.files.reading import ReadFile, read
from slopebeat.model.errors import Cancelled
from slopebeat.plots.colours import LIGHT
from slopebeat.session.outing.opening import demo_files
from slopebeat.session.session import Session
from slopebeat.window.shell import app as window_app
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog


def test_first_screen_says_what_it_is_for_and_offers_a_file_and_the_demo(window: MainWindow) -> None:
    assert window.stack.currentWidget() is window.welcome
    assert window.welcome.open.isVisible()
    assert window.welcome.demo.isVisible()


def test_dropping_a_file_shows_the_outing(window: MainWindow, qtbot: QtBot, walk_file: Path) -> None:
    with next_review(window.session, qtbot):
        drop(window, [walk_file])
    assert window.stack.currentWidget() is window.page
    assert window.page.charts.isVisible()


def test_open_dialog_opens_what_was_chosen(
    window: MainWindow, qtbot: QtBot, walk_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_to_open_many", staticmethod(lambda *_: [walk_file]))
    with next_review(window.session, qtbot):
        qtbot.mouseClick(window.welcome.open, Qt.MouseButton.LeftButton)
    assert window.stack.currentWidget() is window.page


def test_a_cancelled_open_dialog_changes_nothing(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_to_open_many", staticmethod(lambda *_: []))
    qtbot.mouseClick(window.welcome.open, Qt.MouseButton.LeftButton)
    assert not window.session.opening.reading
    assert window.stack.currentWidget() is window.welcome


def test_files_on_the_command_line_go_to_the_window(
    qtbot: QtBot, walk_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Path] = []

    def run(paths: list[Path], demo: bool) -> int:
        asked.extend(paths)
        return int(demo)

    monkeypatch.setattr(window_app, "run", run)
    assert entry.main([str(walk_file)]) == 0
    window = window_app.open_window(asked)
    qtbot.addWidget(window)
    qtbot.waitSignal(window.session.outing.reviewed, timeout=WAIT_MS).wait()
    assert window.stack.currentWidget() is window.page
    window.session.close()


def test_recent_files_are_remembered_for_the_next_start(
    window: MainWindow, qtbot: QtBot, walk_file: Path
) -> None:
    with next_review(window.session, qtbot):
        window.open([walk_file])
    again = MainWindow(Session(), LIGHT)
    qtbot.addWidget(again)
    entries = again.recent.actions()
    assert [action.text() for action in entries] == [walk_file.name]
    with next_review(again.session, qtbot):
        entries[0].trigger()
    again.session.close()


def test_an_unreadable_file_is_told_in_a_sentence_and_the_outing_stays(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    before = ride.session.outing.review
    letter = tmp_path / "letter.fit"
    letter.write_text("Dear warden, the stove is broken.")
    with qtbot.waitSignal(ride.session.opening.failed, timeout=WAIT_MS):
        ride.open([letter])
    assert ride.notice.isVisible()
    assert "letter.fit" in ride.notice.text.text()
    assert ride.notice.text.text().endswith(".")
    assert ride.session.outing.review is before


def test_a_missing_file_is_told_in_a_sentence(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    with qtbot.waitSignal(window.session.opening.failed, timeout=WAIT_MS):
        window.open([tmp_path / "gone.gpx"])
    assert "gone.gpx" in window.notice.text.text()
    assert window.stack.currentWidget() is window.welcome


def test_several_recordings_are_offered_and_the_chosen_one_is_shown(
    window: MainWindow, qtbot: QtBot, walk_file: Path, ride_file: Path
) -> None:
    with next_review(window.session, qtbot):
        drop(window, [ride_file, walk_file])
    assert window.chooser.isVisible()
    assert window.chooser.count() == 2
    with next_review(window.session, qtbot):
        qtbot.keyClick(window.chooser, Qt.Key.Key_Down)
    review = window.session.outing.review
    assert review is not None
    assert review.recording is window.session.outing.recordings[1]


class SlowReader:
    """Reads nothing until told to, as a long file on a slow disk would; says where it ran."""

    def __init__(self) -> None:
        self.thread: threading.Thread | None = None
        self.stopped = threading.Event()

    def __call__(self, path: Path, progress: object) -> ReadFile:
        self.thread = threading.current_thread()
        try:
            while True:
                threading.Event().wait(0.005)
                progress(0.4)  # type: ignore[operator]
        except Cancelled:
            self.stopped.set()
            raise


def test_reading_runs_beside_the_window_and_can_be_cancelled(qtbot: QtBot, tmp_path: Path) -> None:
    reader = SlowReader()
    window = MainWindow(Session(reader=reader), LIGHT)
    qtbot.addWidget(window)
    window.show()
    window.open([tmp_path / "long.fit"])
    qtbot.waitUntil(window.reading.isVisible, timeout=WAIT_MS)
    qtbot.waitUntil(lambda: window.reading.progress.value() == 40, timeout=WAIT_MS)
    assert reader.thread is not threading.main_thread()
    qtbot.mouseClick(window.reading.stop, Qt.MouseButton.LeftButton)
    assert not window.reading.isVisible()
    assert reader.stopped.wait(WAIT_S)
    assert window.stack.currentWidget() is window.welcome
    window.close()


def test_closing_while_reading_stops_the_reading_and_waits(qtbot: QtBot, tmp_path: Path) -> None:
    reader = SlowReader()
    window = MainWindow(Session(reader=reader), LIGHT)
    qtbot.addWidget(window)
    window.show()
    window.open([tmp_path / "long.fit"])
    qtbot.waitUntil(lambda: reader.thread is not None, timeout=WAIT_MS)
    window.close()
    assert reader.stopped.is_set()
    assert reader.thread is not None
    assert not reader.thread.is_alive()


def test_opening_another_file_drops_the_one_being_read(qtbot: QtBot, tmp_path: Path, walk_file: Path) -> None:
    slow = SlowReader()

    def reader(path: Path, progress: object) -> ReadFile:
        return slow(path, progress) if path.name == "long.fit" else read(path)

    window = MainWindow(Session(reader=reader), LIGHT)
    qtbot.addWidget(window)
    window.open([tmp_path / "long.fit"])
    qtbot.waitUntil(lambda: slow.thread is not None, timeout=WAIT_MS)
    with next_review(window.session, qtbot):
        window.open([walk_file])
    assert slow.stopped.wait(WAIT_S)
    window.close()


def test_demo_brings_its_own_band_and_leaves_the_users_alone(
    ride: MainWindow, qtbot: QtBot, walk_file: Path
) -> None:
    own = ride.session.aim.own
    with next_review(ride.session, qtbot):
        ride.open_demo()
    assert ride.session.aim.for_now
    assert ride.session.aim.entered != own
    with next_review(ride.session, qtbot):
        ride.open([walk_file])
    assert ride.session.aim.entered == own


def test_a_file_cut_short_says_so_where_the_answer_stands(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    whole = next(path for path in demo_files() if path.suffix == ".fit").read_bytes()
    cut = tmp_path / "cut.fit"
    cut.write_bytes(whole[: len(whole) // 3])
    with next_review(window.session, qtbot):
        window.open([cut])
    assert window.page.answer.damage.isVisible()
    assert "ends early" in window.page.answer.damage.text()
    assert window.page.tabs.tabText(window.page.tabs.indexOf(window.page.recording)) == "Recording (damaged)"


def test_the_head_of_the_page_has_the_figures_looked_for_first(ride: MainWindow) -> None:
    track = review_of(ride).track
    said = ride.page.answer.figures.text()
    assert not ride.page.answer.damage.isVisible()
    assert f"{np.nanmax(track.hr_bpm):.0f} highest" in said
    assert "moving " in said
    assert "km/h" in said
    assert "(modelled)" in said
