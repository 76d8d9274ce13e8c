"""Small things that must not look careless: room, names, words beside the band."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from helpers import window_acts
from helpers.checks import not_none
from helpers.recordings import recording
from helpers.window_acts import review_of, wait_drawn
from slopebeat.model.people import Aim
from slopebeat.model.recording import Sport, title_of
from slopebeat.plots.band_margin import BandMargin
from slopebeat.plots.colours import LIGHT
from slopebeat.review.outing import review_recording
from slopebeat.review.present.head import sport_words
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.view_state import Rate
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.style import apply_style
from slopebeat.window.widgets.table import RowsTable


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


def heart_px(window: MainWindow) -> float:
    """Height of the area the heart rate is drawn in."""
    return float(window.page.charts.heart.box.sceneBoundingRect().height())


@pytest.fixture
def large_texts() -> Iterator[None]:
    yield
    apply_style(window_acts.app(), LIGHT, 100)


def test_the_heart_rate_gets_a_third_of_the_window(ride: MainWindow, qtbot: QtBot, large_texts: None) -> None:
    page = ride.page
    sizes = ((1280, 720), (1440, 900), (1920, 1080))
    for text_percent, (width, height) in product((100, 140), sizes):
        apply_style(window_acts.app(), LIGHT, text_percent)
        ride.resize(width, height)
        ride.session.display.changed.emit()
        wait_drawn(ride.session, qtbot)
        QTest.qWait(50)
        case = f"{width} x {height} at {text_percent} %"
        assert ride.size() == QSize(width, height), case
        assert heart_px(ride) >= height / 3, case
        for panel in page.charts.panels:
            low, high = panel.left.range
            length = panel.box.sceneBoundingRect().height()
            shown = [v for _, values in panel.left.tickValues(low, high, length) for v in values]
            assert len([v for v in shown if low <= v <= high]) >= 3, (case, panel.caption.text)
        # The tables begin with two rows, and the answer itself is never left out.
        assert page.climbs.viewport().height() >= 2 * page.climbs.rowHeight(0), case
        assert page.answer.headline.isVisible()
        assert page.answer.picture.bar.isVisible()


def test_what_the_answer_leaves_out_is_a_click_away(ride: MainWindow) -> None:
    ride.resize(1280, 690)
    QTest.qWait(50)
    answer = ride.page.answer
    assert answer.more.isVisible()
    assert not answer.detail.isVisible()
    whole = answer.show_all()
    said = [label.text() for label in whole.findChildren(QLabel)]
    for words in (answer.detail, answer.headline, answer.sums):
        assert words.text()
        assert words.text() in said
    assert any(words.startswith("heart rate") for words in said)
    QTest.keyClick(whole, Qt.Key.Key_Escape)
    QTest.qWait(20)
    ride.resize(1440, 900)
    QTest.qWait(50)
    assert answer.detail.isVisible()
    assert not answer.more.isVisible()


def test_the_switches_go_into_a_menu_where_they_have_no_room(ride: MainWindow, large_texts: None) -> None:
    ride.resize(1400, 900)
    QTest.qWait(50)
    bar = ride.page.bar
    assert bar.rate[Rate.VERTICAL].isVisible()
    assert not bar.choice.isVisible()
    apply_style(window_acts.app(), LIGHT, 140)
    ride.resize(1280, 720)
    QTest.qWait(50)
    assert bar.choice.isVisible()
    assert not bar.rate[Rate.VERTICAL].isVisible()
    menu = bar.choice.menu()
    menu.aboutToShow.emit()
    by_words = {action.text(): action for action in menu.actions()}
    assert by_words["Time"].isChecked()
    assert not by_words["Vertical speed"].isChecked()
    by_words["Vertical speed"].trigger()
    assert ride.session.charts.rate is Rate.VERTICAL


def test_the_shares_are_the_users_once_the_handle_was_moved(own_ride: MainWindow, qtbot: QtBot) -> None:
    own_ride.resize(1400, 900)
    QTest.qWait(50)
    before = own_ride.page.shares.sizes()[1]
    assert before <= 0.27 * own_ride.page.height()
    handle = own_ride.page.shares.handle(1)
    centre = handle.rect().center()
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, pos=centre)
    QTest.mouseMove(handle, centre - QPoint(0, 60))
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=centre - QPoint(0, 60))
    moved = own_ride.page.shares.sizes()[1]
    assert moved > before + 30
    own_ride.resize(1400, 880)
    QTest.qWait(50)
    assert own_ride.page.shares.sizes()[1] == pytest.approx(moved, abs=2)


def test_the_words_beside_the_band_each_have_a_line_of_their_own() -> None:
    """Also where the band lies at an edge of the chart, or beyond it while it is dragged."""
    words, line = BandMargin(), 15.0
    words.setRange(80, 170)
    for edges, frame_px in product(((150, 165), (30, 45), (112, 131), (200, 220)), (60.0, 240.0)):
        words.set_band(edges)
        middle, above, below = words._tops(QRectF(0, 0, 70, frame_px), line)
        assert 0 <= above <= middle - line, edges
        assert middle + line <= below <= frame_px - line, edges


def test_causes_that_took_no_second_have_no_row(ride: MainWindow) -> None:
    ride.page.tabs.setCurrentIndex(1)
    causes = review_of(ride).causes
    assert causes is not None
    labels = not_none(ride.page.causes.widget()).findChildren(QLabel)
    shown = {label.text() for label in labels if not label.isHidden()}
    for cause, seconds in causes.seconds.items():
        assert (key_name(cause) in shown) == (seconds >= 0.5)
    assert "0:00:00" not in shown
