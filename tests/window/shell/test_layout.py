"""Small things that must not look careless: room, names, words beside the band."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from slopebeat.model.athlete import Aim
from slopebeat.model.recording import Sport
from slopebeat.model.titles import title_of
from slopebeat.review.outing import review_recording
from slopebeat.review.present.head import sport_words
from slopebeat.review.words.names import key_name
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.table import RowsTable
from synthetic import recording
from window_acts import review_of


@pytest.mark.parametrize(
    ("title", "file_name", "shown"),
    [
        ("hut_supply_hike", "hut_supply_hike.fit", "Hut supply hike"),
        ("", "ridge_round.gpx", "Ridge round"),
        ("Evening round", "4711.tcx", "Evening round"),
        ("2026-07-11", "2026-07-11.fit", "2026-07-11"),
        ("in_the_file", "other.gpx", "in_the_file"),
        ("", "", ""),
    ],
)
def test_a_files_own_name_is_written_as_words_and_a_given_one_is_left(
    title: str, file_name: str, shown: str
) -> None:
    assert title_of(replace(recording(np.arange(3.0)), title=title, file_name=file_name)) == shown


@pytest.mark.parametrize(
    ("speed", "sport", "words"),
    [
        (1.2, Sport.UNKNOWN, "on foot (by its speed)"),
        (6.0, Sport.UNKNOWN, "on a bike (by its speed)"),
        (1.2, Sport.HIKING, "hiking"),
    ],
)
def test_a_sport_the_file_does_not_name_is_called_a_guess(speed: float, sport: Sport, words: str) -> None:
    made = recording(np.arange(900.0), speed=speed, sport=sport)
    assert sport_words(review_recording(made, Aim())) == words


def test_without_distance_nothing_is_said_of_a_speed() -> None:
    made = recording(np.arange(900.0), sport=Sport.UNKNOWN, distance_m=np.full(900, np.nan))
    assert sport_words(review_recording(made, Aim())) == "on foot (assumed)"


@pytest.mark.parametrize("size", [QSize(1400, 900), QSize(1280, 720)], ids=["1400", "1280"])
def test_the_words_beside_the_band_lie_clear_of_the_data_and_of_each_other(
    ride: MainWindow, size: QSize
) -> None:
    ride.resize(size)
    QTest.qWait(50)
    charts = ride.page.charts
    words = charts.heart.words
    data_right = max(panel.box.sceneBoundingRect().right() for panel in charts.panels)
    assert words.sceneBoundingRect().left() >= data_right - 1
    frame = words.boundingRect()
    middle, above, below = words._tops(frame, 12.0)
    assert frame.top() <= above <= middle - 12.0
    assert middle + 12.0 <= below <= frame.bottom() - 12.0
    lefts = {round(panel.box.sceneBoundingRect().left()) for panel in charts.panels}
    rights = {round(panel.box.sceneBoundingRect().right()) for panel in charts.panels}
    assert len(lefts) == len(rights) == 1


def test_no_table_of_an_outing_needs_sideways_scrolling_at_1400(ride: MainWindow) -> None:
    ride.resize(1400, 900)
    ride.page.measure.by.setCurrentIndex(2)
    for tab in range(ride.page.tabs.count()):
        ride.page.tabs.setCurrentIndex(tab)
        QTest.qWait(20)
        tables = ride.page.tabs.currentWidget().findChildren(RowsTable)
        for table in (each for each in tables if each.isVisible()):
            assert table.horizontalScrollBar().maximum() == 0, table.accessibleName()
    ride.page.tabs.setCurrentWidget(ride.page.climbs)
    assert ride.page.climbs.horizontalScrollBar().maximum() == 0


def test_the_tables_keep_their_share_until_the_handle_is_moved(ride: MainWindow, qtbot: QtBot) -> None:
    ride.resize(1400, 900)
    QTest.qWait(50)
    tall = ride.page.shares.sizes()[1]
    assert tall == pytest.approx(0.27 * ride.page.height(), abs=15)
    handle = ride.page.shares.handle(1)
    centre = handle.rect().center()
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, pos=centre)
    QTest.mouseMove(handle, centre - QPoint(0, 60))
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=centre - QPoint(0, 60))
    moved = ride.page.shares.sizes()[1]
    assert moved > tall + 30
    ride.resize(1400, 880)
    QTest.qWait(50)
    assert ride.page.shares.sizes()[1] == pytest.approx(moved, abs=2)


def test_causes_that_took_no_second_have_no_row(ride: MainWindow) -> None:
    ride.page.tabs.setCurrentIndex(1)
    causes = review_of(ride).causes
    assert causes is not None
    from PySide6.QtWidgets import QLabel

    labels = ride.page.causes.widget().findChildren(QLabel)
    shown = {label.text() for label in labels if not label.isHidden()}
    for cause, seconds in causes.seconds.items():
        assert (key_name(cause) in shown) == (seconds >= 0.5)
    assert "0:00:00" not in shown
