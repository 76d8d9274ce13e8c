"""What is made behind the window once it is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.patience import WAIT_MS
from slopebeat.plots.colours import LIGHT
from slopebeat.session.session import Session
from slopebeat.session.settings import Layout
from slopebeat.window.library.page import LibraryPage
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_in_pieces import PageInPieces


def test_the_page_of_an_outing_is_made_behind_the_first_screen(window: MainWindow, qtbot: QtBot) -> None:
    door = window.page_loader
    assert door.made is None
    with qtbot.waitSignal(door.whole, timeout=WAIT_MS):
        door.parts.make_soon()
    assert door.made is window.page
    assert window.stack.currentWidget() is window.welcome
    assert window.page.tabs.count() == 8
    assert window.session.steps.idle


def test_a_recording_opened_while_the_page_is_half_made_is_shown_whole(
    window: MainWindow, qtbot: QtBot, ride_file: Path
) -> None:
    window.page_loader.parts.make_soon()
    QApplication.processEvents()
    assert window.page_loader.made is None
    # What was read waits until the page is there, instead of having the rest of it made at once.
    whole: list[bool] = []
    window.session.opening.read.connect(lambda _files: whole.append(window.page_loader.made is not None))
    with qtbot.waitSignal(window.session.outing.reviewed, timeout=WAIT_MS):
        window.open([ride_file])
    assert whole == [True]
    qtbot.waitUntil(lambda: window.session.steps.idle, timeout=WAIT_MS)
    review = window.session.outing.review
    assert review is not None
    assert window.stack.currentWidget() is window.page
    assert window.page.answer.headline.text()
    assert window.page.climbs.model().rowCount() == len(review.climbs)
    assert window.page.charts.heart.box.viewRange()[0][1] > review.track.t_s[-1] / 2


def test_a_library_waits_for_its_page_which_is_never_made_at_once(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library, told = window.session.library, list[str]()
    window.library.page_made.connect(lambda _page: told.append("page"))
    library.opened.rows_changed.connect(lambda: told.append("rows"))

    def whole(parts: PageInPieces[LibraryPage]) -> LibraryPage:
        assert parts.whole, "made at once"
        return not_none(parts.begun)

    with monkeypatch.context() as patched:
        patched.setattr(PageInPieces, "page", property(whole))
        with qtbot.waitSignal(library.opened.opened, timeout=WAIT_MS):
            library.open(tmp_path / "own.sqlite3")
    assert told[0] == "page"
    assert "rows" in told
    qtbot.waitUntil(lambda: library.idle and window.session.steps.idle, timeout=WAIT_MS)
    assert "own.sqlite3" in window.library.page.place.text()


def test_how_the_page_was_left_outlives_a_start_that_never_shows_it(window: MainWindow, qtbot: QtBot) -> None:
    left = Layout(across_px=(900, 300), shares_px=(500, 200), tab=3)
    window.session.settings.keep(layout=left)
    again = MainWindow(Session(), LIGHT)
    qtbot.addWidget(again)
    again.close()
    assert again.page_loader.made is None
    third = MainWindow(Session(), LIGHT)
    qtbot.addWidget(third)
    kept = third.session.settings.content.layout
    assert (kept.across_px, kept.shares_px, kept.tab) == (left.across_px, left.shares_px, left.tab)
    assert third.page.tabs.currentIndex() == left.tab
    third.session.close()
