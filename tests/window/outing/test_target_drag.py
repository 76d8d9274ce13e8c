"""The target on the bar of the time account: taken by mouse or moved by keys, everything follows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from helpers.window_acts import next_review, review_of, wait_drawn
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.target_handle import TargetHandle


def handle_of(window: MainWindow) -> TargetHandle:
    return window.page.answer.picture.target


def settled(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: window.session.background.idle and window.session.steps.idle, timeout=WAIT_MS)


def mouse(window: MainWindow, kind: QEvent.Type, by_px: float) -> None:
    """One event of the mouse that took the handle in its middle and has gone so far since."""
    handle = handle_of(window)
    place = handle.mapToGlobal(QPointF(handle.width() / 2, 5.0))
    if kind is QEvent.Type.MouseButtonPress:
        window.setProperty("taken", place)
    at = window.property("taken") + QPointF(by_px, 0.0)
    button, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    changed = none if kind is QEvent.Type.MouseMove else button
    held = none if kind is QEvent.Type.MouseButtonRelease else button
    local = handle.mapFromGlobal(at)
    event = QMouseEvent(kind, local, at, changed, held, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(handle, event)


def key(window: MainWindow, kind: QEvent.Type, wanted: Qt.Key, repeated: bool = False) -> None:
    event = QKeyEvent(kind, wanted, Qt.KeyboardModifier.NoModifier, "", repeated)
    QApplication.sendEvent(handle_of(window), event)


def target_min(window: MainWindow) -> float:
    return review_of(window).aim.target_s / 60.0


def pixels(window: MainWindow, minutes: float) -> float:
    """How far on the bar so many minutes lie apart: all of it is the span of the account."""
    account = review_of(window).account
    assert account is not None
    return minutes * 60.0 * window.page.answer.picture.bar.width() / account.span_s


def test_the_answer_follows_the_target_and_one_undo_takes_the_drag_back(
    ride: MainWindow, qtbot: QtBot
) -> None:
    before, words = target_min(ride), ride.session.history.undo_words
    answer = ride.page.answer
    said = answer.headline.text() + answer.detail.text()
    longer = review_of(ride).extension
    mouse(ride, QEvent.Type.MouseButtonPress, 0)
    for minutes in (-2, -6, -10):
        mouse(ride, QEvent.Type.MouseMove, pixels(ride, minutes))
        settled(ride, qtbot)
    assert abs(target_min(ride) - (before - 10)) <= 1
    assert ride.session.aim.trying
    assert ride.page.aim.target.value() == target_min(ride)
    during = review_of(ride).extension
    assert longer is not None
    assert during is not None
    assert during.target_s < longer.target_s
    assert answer.headline.text() + answer.detail.text() != said
    mouse(ride, QEvent.Type.MouseButtonRelease, pixels(ride, -10))
    settled(ride, qtbot)
    assert not ride.session.aim.trying
    with next_review(ride.session, qtbot):
        ride.session.history.undo()
    assert target_min(ride) == before
    assert ride.session.history.undo_words == words


def test_a_key_held_is_one_act_of_whole_minutes(ride: MainWindow, qtbot: QtBot) -> None:
    before = target_min(ride)
    key(ride, QEvent.Type.KeyPress, Qt.Key.Key_Right)
    for _ in range(3):
        key(ride, QEvent.Type.KeyRelease, Qt.Key.Key_Right, repeated=True)
        key(ride, QEvent.Type.KeyPress, Qt.Key.Key_Right, repeated=True)
    key(ride, QEvent.Type.KeyRelease, Qt.Key.Key_Right)
    settled(ride, qtbot)
    assert target_min(ride) == before + 4
    with next_review(ride.session, qtbot):
        ride.session.history.undo()
    assert target_min(ride) == before


def test_a_page_key_moves_by_five_minutes(ride: MainWindow, qtbot: QtBot) -> None:
    before = target_min(ride)
    key(ride, QEvent.Type.KeyPress, Qt.Key.Key_PageDown)
    key(ride, QEvent.Type.KeyRelease, Qt.Key.Key_PageDown)
    settled(ride, qtbot)
    assert target_min(ride) == before - 5


def test_a_target_beyond_the_outing_stays_on_the_bar_and_comes_back(ride: MainWindow, qtbot: QtBot) -> None:
    account, bar, handle = review_of(ride).account, ride.page.answer.picture.bar, handle_of(ride)
    assert account is not None
    span_min = account.span_s / 60.0
    mouse(ride, QEvent.Type.MouseButtonPress, 0)
    mouse(ride, QEvent.Type.MouseMove, pixels(ride, span_min + 30))
    settled(ride, qtbot)
    assert target_min(ride) > span_min
    assert handle.geometry().right() == bar.geometry().right()
    mouse(ride, QEvent.Type.MouseMove, -pixels(ride, 10 * span_min))
    settled(ride, qtbot)
    assert target_min(ride) == 1
    assert bar.geometry().left() <= handle.geometry().left() <= bar.geometry().left() + 2
    mouse(ride, QEvent.Type.MouseButtonRelease, 0)
    wait_drawn(ride.session, qtbot)


def test_the_handle_stands_where_the_time_in_band_would_reach_the_target(ride: MainWindow) -> None:
    account, picture = review_of(ride).account, ride.page.answer.picture
    assert account is not None
    middle = picture.target.geometry().center().x() - picture.bar.geometry().left()
    assert abs(middle - pixels(ride, target_min(ride))) <= 1.5
