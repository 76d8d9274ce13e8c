"""Tabs are all seen, whatever the room: usual names, short ones, and cut ones at the last."""

from __future__ import annotations

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QLabel, QTabBar, QToolButton
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.tabs import AllSeenTabs


def shown(tabs: AllSeenTabs) -> list[str]:
    return [tabs.tabText(at) for at in range(tabs.count())]


def test_names_become_short_where_the_row_is_narrow_and_long_again(qtbot: QtBot) -> None:
    tabs = AllSeenTabs()
    qtbot.addWidget(tabs)
    first, second = QLabel(), QLabel()
    tabs.add(first, "The time out of band", "Out")
    tabs.add(second, "The speed to be held", "Hold")
    tabs.resize(800, 200)
    tabs.show()
    assert shown(tabs) == ["The time out of band", "The speed to be held"]
    tabs.resize(180, 200)
    assert shown(tabs) == ["Out", "Hold"]
    assert tabs.tabToolTip(0) == "The time out of band"
    tabs.name(first, "The time out of band (12)", "Out (12)")
    assert shown(tabs) == ["Out (12)", "Hold"]
    tabs.resize(800, 200)
    assert shown(tabs) == ["The time out of band (12)", "The speed to be held"]
    assert tabs.tabToolTip(0) == ""


def test_every_tab_of_an_outing_lies_in_the_row_and_none_is_scrolled(ride: MainWindow) -> None:
    for width in (1280, 960):
        ride.resize(width, 720)
        bar: QTabBar = ride.page.tabs.tabBar()
        assert not [arrow for arrow in bar.findChildren(QToolButton) if arrow.isVisible()]
        for at in range(bar.count()):
            assert bar.rect().contains(bar.tabRect(at)), bar.tabText(at)


def test_messages_wait_for_their_turn_where_there_is_no_room_for_all(ride: MainWindow, qtbot: QtBot) -> None:
    notice, reading, area = ride.notice, ride.reading, ride.messages
    ride.resize(1280, 720)
    notice.say("The report was written.")
    reading.show()
    qtbot.waitUntil(lambda: notice.isVisible() and reading.isVisible(), timeout=WAIT_MS)
    middle_before = ride.page.column.geometry()
    ride.library.bar.show()
    qtbot.waitUntil(lambda: reading.isVisible() and not ride.library.bar.isVisible(), timeout=WAIT_MS)
    tops = {bar.mapTo(area, QPoint()).y() for bar in (notice, reading)}
    assert len(tops) == 1
    assert ride.page.column.geometry() == middle_before
    notice.hide()
    qtbot.waitUntil(ride.library.bar.isVisible, timeout=WAIT_MS)
    for bar in (reading, ride.library.bar):
        bar.hide()
    qtbot.waitUntil(lambda: not area.isVisible(), timeout=WAIT_MS)
