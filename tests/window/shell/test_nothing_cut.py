"""No word is cut and nothing sticks out: every page, in both languages, on two screens."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QComboBox,
    QGraphicsView,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollBar,
    QSpinBox,
    QSplitterHandle,
    QStyle,
    QStyleOptionComboBox,
    QTabBar,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from helpers import window_acts
from helpers.checks import not_none
from helpers.earlier_outings import keep_teachers
from helpers.libraries import FIRST, made
from helpers.own_home import use_home
from helpers.patience import WAIT_MS
from helpers.window_acts import wait_drawn
from slopebeat.library.store import Library
from slopebeat.model.language import use_language
from slopebeat.model.measures import use_decimal_sign
from slopebeat.model.people import Athlete
from slopebeat.plots.colours import LIGHT
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.week.dated import DatedDialog
from slopebeat.window.widgets.style import apply_style
from window.conftest import new_window, open_ride, put_away

ROUGH_PX = 1
"""Rounding of text widths."""

SETTLED_MS = 20_000
"""Longest that drawing in steps may take on a busy machine."""

OWN_PARTS = (QTabBar, QHeaderView, QScrollBar, QAbstractSpinBox, QComboBox, QGraphicsView, QSplitterHandle)
"""Widgets that look after their own parts."""


def looked_at(page: QWidget) -> list[QWidget]:
    """Everything on the page that is shown, without the insides of Qt's own widgets."""
    found = []
    for widget in page.findChildren(QWidget):
        parents, parent = [], widget.parentWidget()
        while parent is not None and parent is not page:
            parents.append(parent)
            parent = parent.parentWidget()
        inside = any(isinstance(each, OWN_PARTS) for each in parents)
        if widget.isVisibleTo(page) and not inside and not widget.isWindow():
            found.append(widget)
    return found


def cut_text(widget: QWidget) -> bool:
    """Whether the words of a label or button have less room than they need."""
    if isinstance(widget, QLabel) and widget.text():
        if widget.wordWrap():
            return widget.heightForWidth(widget.width()) > widget.height() + ROUGH_PX
        return widget.sizeHint().width() > widget.width() + ROUGH_PX
    if isinstance(widget, QToolButton) and widget.toolButtonStyle() is Qt.ToolButtonStyle.ToolButtonIconOnly:
        return False
    if isinstance(widget, QAbstractButton) and widget.text():
        return widget.sizeHint().width() > widget.width() + ROUGH_PX
    if isinstance(widget, QComboBox) and not widget.isEditable():
        option = QStyleOptionComboBox()
        widget.initStyleOption(option)
        part = QStyle.SubControl.SC_ComboBoxEditField
        room = widget.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, option, part, widget)
        return widget.fontMetrics().horizontalAdvance(widget.currentText()) > room.width() + ROUGH_PX
    if isinstance(widget, QSpinBox):
        words = widget.fontMetrics().horizontalAdvance(widget.text())
        editor = widget.findChild(QLineEdit)
        assert editor is not None
        return words > editor.width() + ROUGH_PX
    return False


def sticks_out(widget: QWidget) -> bool:
    """Whether part of it lies beyond its parent, where nothing could be scrolled to show it."""
    parent = not_none(widget.parentWidget())
    room, place = parent.rect().adjusted(-1, -1, 1, 1), widget.geometry()
    area = parent.parentWidget()
    if isinstance(area, QAbstractScrollArea) and area.viewport() is parent:
        hidden = area.horizontalScrollBarPolicy() is Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        return hidden and place.width() > room.width()
    return not room.contains(place)


def described(widget: QWidget) -> str:
    words = widget.text() if isinstance(widget, QLabel | QAbstractButton | QSpinBox) else ""
    named = widget.accessibleName() or widget.objectName()
    said = words or named or [each.text() for each in widget.findChildren(QLabel)[:4]]
    place = "{}+{}x{}".format(*(widget.x(), widget.width(), widget.height()))
    parent = not_none(widget.parentWidget())
    return f"{type(widget).__name__} {said!r} {place} in {type(parent).__name__} of {parent.size().toTuple()}"


def faults_of(page: QWidget) -> list[str]:
    seen = looked_at(page)
    assert seen
    return [f"cut: {described(widget)}" for widget in seen if cut_text(widget)] + [
        f"sticks out: {described(widget)}" for widget in seen if sticks_out(widget)
    ]


def assert_nothing_is_cut(page: QWidget) -> None:
    """What is drawn in steps has its place only after the last of them: faults that stay are faults."""
    QTest.qWait(60)
    waited, faults = 0, faults_of(page)
    while faults and waited < SETTLED_MS:
        QTest.qWait(50)
        waited, faults = waited + 50, faults_of(page)
    assert not faults, "\n".join(faults)


SCREENS = [QSize(1440, 900), QSize(1280, 720)]


@pytest.fixture(scope="module", params=["en", "de"])
def tongue(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def spoken(tongue: str) -> str:
    """Asked for before the window, so that it is made in this language."""
    speak(tongue)
    return tongue


def speak(tongue: str) -> None:
    use_language(tongue)
    use_decimal_sign("," if tongue == "de" else ".")


@pytest.fixture(scope="module")
def spoken_window(
    tongue: str, module_bot: QtBot, ride_file: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[MainWindow]:
    """The ride in a window of each language."""
    with pytest.MonkeyPatch.context() as patch:
        use_home(tmp_path_factory.mktemp("home"), patch)
        speak(tongue)
        made = new_window()
        open_ride(made, module_bot, ride_file)
    yield made
    put_away(made)


@pytest.fixture
def spoken_ride(spoken: str, spoken_window: MainWindow) -> MainWindow:
    spoken_window.activateWindow()
    return spoken_window


@pytest.fixture(scope="module")
def taught_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library of eight walks that teach; every test opens a copy."""
    place = tmp_path_factory.mktemp("taught") / "walks.sqlite3"
    with Library.create(place) as library:
        library.athletes.add(Athlete("0" * 32, "Hut warden"))
        keep_teachers(library, "0" * 32)
    return place


def test_nothing_is_cut_on_the_page_of_an_outing(spoken_ride: MainWindow) -> None:
    page = spoken_ride.page
    page.aim.band.method.setCurrentIndex(1)
    for size in SCREENS:
        spoken_ride.resize(size)
        for method in range(page.aim.band.method.count()):
            page.aim.band.method.setCurrentIndex(method)
            page.aim.band._show_page(method)
            assert_nothing_is_cut(page.across)
        for tab in range(page.tabs.count()):
            page.tabs.setCurrentIndex(tab)
            assert_nothing_is_cut(page.tabs)


def test_nothing_is_cut_where_large_texts_meet_a_low_window(spoken_ride: MainWindow) -> None:
    apply_style(window_acts.app(), LIGHT, 140)
    try:
        page = spoken_ride.page
        spoken_ride.resize(1280, 720)
        spoken_ride.session.display.changed.emit()
        QTest.qWait(100)
        for part in (page.answer, page.bar, page.drag_mode, page.column.readout):
            assert_nothing_is_cut(part)
        whole = page.answer.show_all()
        assert_nothing_is_cut(whole)
        whole.close()
    finally:
        apply_style(window_acts.app(), LIGHT, 100)


def test_nothing_is_cut_in_the_library(spoken: str, window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    made(tmp_path / "walks.sqlite3")
    library = window.session.library
    library.open(tmp_path / "walks.sqlite3")
    qtbot.waitUntil(lambda: library.idle and library.outings.up_to_date, timeout=WAIT_MS)
    window.library.show_library()
    page = window.library.page
    for size in SCREENS:
        window.resize(size)
        for tab in range(page.tabs.count()):
            page.tabs.setCurrentIndex(tab)
            wait_drawn(window.session, qtbot)
            assert_nothing_is_cut(page)
    window.weeks.show_week()
    week = window.weeks.page
    qtbot.waitUntil(lambda: bool(week.weeks.rows.rows) and week.letter.isEnabled(), timeout=WAIT_MS)
    for size in SCREENS:
        window.resize(size)
        for tab in range(week.tabs.count()):
            week.tabs.setCurrentIndex(tab)
            wait_drawn(window.session, qtbot)
            assert_nothing_is_cut(week)
    asked = DatedDialog(window, library, not_none(week.table.picked).athlete.identity, FIRST.date())
    # As a part of the window: what stands for a screen here knows no windows of windows.
    asked.setWindowFlags(Qt.WindowType.Widget)
    asked.show()
    for kind in range(asked.kind.count()):
        asked.kind.setCurrentIndex(kind)
        assert_nothing_is_cut(asked)


def test_nothing_is_cut_on_the_page_of_a_route(
    spoken: str, window: MainWindow, qtbot: QtBot, tmp_path: Path, taught_file: Path
) -> None:
    points = "".join(
        f'<rtept lat="{46.9 + i * 1e-4:.4f}" lon="11.6"><ele>{1200 + i}</ele></rtept>' for i in range(300)
    )
    path = tmp_path / "hut_path.gpx"
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<rte><name>Path to the hut</name>{points}</rte></gpx>"
    )
    window.session.library.opened.open(Path(shutil.copy(taught_file, tmp_path)))
    qtbot.waitUntil(lambda: len(window.session.library.opened.rows) == 8, timeout=WAIT_MS)
    route = window.session.route
    window.routes.open_paths([path])
    qtbot.waitUntil(lambda: route.route is not None and route.idle, timeout=WAIT_MS)
    page = window.routes.controller.page
    page.entry.from_bpm.setValue(112)
    page.entry.to_bpm.setValue(131)
    qtbot.waitUntil(lambda: route.plan is not None and route.idle, timeout=WAIT_MS)
    for size in SCREENS:
        window.resize(size)
        for tab in range(page.tabs.count()):
            page.tabs.setCurrentIndex(tab)
            assert_nothing_is_cut(page)


def test_the_walk_finds_what_is_cut_and_what_sticks_out(qtbot: QtBot) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    holder.resize(200, 60)
    whole, narrow, out = QLabel("whole", holder), QPushButton("Whole outing", holder), QLabel("out", holder)
    whole.adjustSize()
    narrow.setGeometry(60, 0, 30, 24)
    out.setGeometry(180, 0, 60, 20)
    holder.show()
    seen = looked_at(holder)
    assert [widget for widget in seen if cut_text(widget)] == [narrow]
    assert [widget for widget in seen if sticks_out(widget)] == [out]


@pytest.mark.parametrize("text_percent", [100, 130])
def test_the_bar_over_the_charts_stays_one_row_and_cuts_no_word(ride: MainWindow, text_percent: int) -> None:
    apply_style(window_acts.app(), LIGHT, text_percent)
    try:
        bar = ride.page.bar
        for width in (1400, 1280, 1150):
            ride.resize(width, 900)
            assert_nothing_is_cut(bar)
            shown = [one for one in bar.findChildren(QPushButton) if one.isVisible()]
            assert len({one.mapTo(bar, QPoint()).y() for one in shown}) == 1
    finally:
        apply_style(window_acts.app(), LIGHT, 100)
