"""Preferences by hand, the window's layout from one start to the next, and the first screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from slopebeat.model import language, measures
from slopebeat.plots.colours import DARK, LIGHT
from slopebeat.plots.overlay import SMALL_POINT, small_font
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.session import Session
from slopebeat.session.settings import TEXT_PERCENT, Appearance, Preferences, Settings, Units
from slopebeat.window.shell.main_window import MainWindow


def choose(window: MainWindow, name: str, value: str) -> None:
    box = getattr(window.preferences, name)
    box.setCurrentIndex(box.findData(value))
    box.activated.emit(box.currentIndex())


def test_units_look_and_text_size_are_taken_at_once_and_kept(window: MainWindow) -> None:
    window.show_preferences()
    choose(window, "units", Units.IMPERIAL)
    assert measures.system() is measures.System.IMPERIAL
    assert "mi" in window.preferences.now.text()
    choose(window, "look", Appearance.DARK)
    assert window.palette().window().color().name() == DARK.window
    window.preferences.text.setValue(130)
    assert small_font().pointSizeF() == pytest.approx(1.3 * SMALL_POINT)
    kept = Settings(window.session.settings.path).content.preferences
    assert kept == Preferences(Units.IMPERIAL, "system", Appearance.DARK, 130)
    window.preferences.text.setValue(100)
    choose(window, "look", Appearance.LIGHT)
    assert window.palette().window().color().name() == LIGHT.window


def test_texts_grow_and_shrink_back_to_what_they_were(window: MainWindow) -> None:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    before = app.font().pointSizeF()
    for percent in (*TEXT_PERCENT, 100):
        window.preferences.text.setValue(percent)
        assert app.font().pointSizeF() == pytest.approx(before * percent / 100, abs=0.06)


def test_the_language_waits_for_the_next_start(window: MainWindow) -> None:
    choose(window, "language", "de")
    assert language.language() == "en"
    again = Session(Settings(window.session.settings.path))
    problem = again.display.begin()
    again.close()
    assert language.language() == ("en" if problem else "de")


def test_done_goes_back_to_where_one_was(window: MainWindow) -> None:
    window.show_preferences()
    window.show_preferences()
    window.preferences.back.click()
    assert window.stack.currentWidget() is window.welcome


def test_the_window_comes_back_as_it_was_left(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    first = MainWindow(Session(Settings(path)), LIGHT)
    first.show()
    first.resize(1100, 700)
    first.stack.setCurrentWidget(first.page)
    QTest.qWait(20)
    first.page.share_as((700, 350), (300, 240))
    first.page.tabs.setCurrentIndex(3)
    first.session.charts.set_along(Along.DISTANCE)
    first.session.charts.set_rate(Rate.VERTICAL)
    left = first.page.shares.sizes()
    first.close()
    second = MainWindow(Session(Settings(path)), LIGHT)
    qtbot.addWidget(first)
    qtbot.addWidget(second)
    second.show()
    second.stack.setCurrentWidget(second.page)
    QTest.qWait(20)
    # The screen of a machine that runs tests can be smaller than the window was.
    screen = second.screen().availableSize()
    assert second.size() == QSize(1100, 700).boundedTo(screen).expandedTo(second.minimumSize())
    assert second.page.shares.sizes() == pytest.approx(left, abs=6)
    assert second.page.tabs.currentIndex() == 3
    assert (second.session.charts.along, second.session.charts.rate) == (Along.DISTANCE, Rate.VERTICAL)
    second.session.close()


def test_the_first_screen_asks_for_a_band_with_its_cautions_and_assumes_none(window: MainWindow) -> None:
    assert window.session.aim.aim.band is None
    window.ask_for_band()
    card = window.welcome.band
    assert card.isVisible()
    said = " ".join(label.text() for label in window.welcome.findChildren(QLabel))
    for caution in ("not medical advice", "medical clearance", "stop and seek care"):
        assert caution in said
    card.entry.lower_edge.setValue(112)
    assert window.session.aim.aim.band is None
    card.entry.upper_edge.setValue(131)
    assert card.result.text() == "112–131 bpm"
    band = window.session.aim.aim.band
    assert band is not None
    assert (band.lower_bpm, band.upper_bpm) == (112, 131)
