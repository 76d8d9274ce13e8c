"""Deciding on doubted stretches as a person does: table, keys, mouse, undo."""

from __future__ import annotations

from datetime import timedelta, timezone
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from helpers.window_acts import next_review, review_of
from slopebeat.model.marks import Channel, MarkState, Reason
from slopebeat.model.notes import SPORTS, NoteKind
from slopebeat.model.recording import Sport
from slopebeat.window.outing.recording_panel import DoubtsPanel
from slopebeat.window.shell.main_window import MainWindow


@pytest.fixture
def doubts(ride: MainWindow) -> DoubtsPanel:
    """The panel of doubts in front, with its table filled."""
    ride.page.tabs.setCurrentWidget(ride.page.recording)
    return ride.page.recording.doubts


def trusted_s(window: MainWindow) -> float:
    track = review_of(window).track
    return float(track.recorded_s[np.isfinite(track.hr_bpm)].sum())


def spike(window: MainWindow) -> int:
    """The first doubted heart rate that was recorded at all."""
    marks = review_of(window).marks
    return next(
        i for i, m in enumerate(marks) if m.channel is Channel.HEART_RATE and m.reason is not Reason.DROP_OUT
    )


def test_rejecting_a_doubt_uses_its_heart_rate_and_undo_leaves_it_out_again(
    ride: MainWindow, doubts: DoubtsPanel, qtbot: QtBot
) -> None:
    at, before, account = spike(ride), trusted_s(ride), review_of(ride).account
    doubts.table.pick(at)
    assert ride.session.visible.end_s - ride.session.visible.start_s >= 300.0
    with next_review(ride.session, qtbot):
        qtbot.mouseClick(doubts.reject, Qt.MouseButton.LeftButton)
    assert review_of(ride).marks[at].state is MarkState.REJECTED
    assert trusted_s(ride) > before
    shown = [(s.start_x, s.end_x) for s in ride.page.charts.heart.doubt.spans]
    assert (review_of(ride).marks[at].start_s, review_of(ride).marks[at].end_s) not in shown
    assert not doubts.reject.isEnabled()
    with next_review(ride.session, qtbot):
        qtbot.keyClick(ride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert trusted_s(ride) == before
    assert review_of(ride).account == account
    assert review_of(ride).marks[at].state is MarkState.PROPOSED


def test_keys_decide_on_the_selected_doubt(ride: MainWindow, doubts: DoubtsPanel, qtbot: QtBot) -> None:
    at = spike(ride)
    doubts.table.setFocus()
    doubts.table.pick(at)
    with next_review(ride.session, qtbot):
        qtbot.keyClick(doubts.table, Qt.Key.Key_R)
    assert review_of(ride).marks[at].state is MarkState.REJECTED
    with next_review(ride.session, qtbot):
        qtbot.keyClick(doubts.table, Qt.Key.Key_A)
    assert review_of(ride).marks[at].state is MarkState.ACCEPTED


def test_dragging_with_shift_marks_a_stretch_and_delete_takes_it_back(
    ride: MainWindow, doubts: DoubtsPanel, qtbot: QtBot
) -> None:
    charts = ride.page.charts
    visible = (ride.session.visible.start_s, ride.session.visible.end_s)
    before = trusted_s(ride)

    def place(t_s: float) -> QPoint:
        box = charts.heart.box
        y = sum(box.viewRange()[1]) / 2
        return QPoint(charts.mapFromScene(box.mapViewToScene(QPointF(t_s, y))))

    left, shift = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier
    QTest.mousePress(charts.viewport(), left, shift, place(2400.0))
    for t_s in (2450.0, 2600.0, 2800.0, 3000.0):
        move(charts.viewport(), place(t_s))
    assert charts.heart.draft.spans
    with next_review(ride.session, qtbot):
        QTest.mouseRelease(charts.viewport(), left, shift, place(3000.0))
    (mine,) = [m for m in review_of(ride).marks if m.reason is Reason.BY_HAND]
    pixel_s = (visible[1] - visible[0]) / charts.heart.box.width()
    assert mine.start_s == pytest.approx(2400.0, abs=2 * pixel_s)
    assert mine.end_s == pytest.approx(3000.0, abs=2 * pixel_s)
    assert (ride.session.visible.start_s, ride.session.visible.end_s) == visible
    assert not charts.heart.draft.spans
    assert trusted_s(ride) < before - 300
    doubts.table.setFocus()
    doubts.table.pick(review_of(ride).marks.index(mine))
    with next_review(ride.session, qtbot):
        qtbot.keyClick(doubts.table, Qt.Key.Key_Delete)
    assert trusted_s(ride) == before


def move(viewport: QWidget, place: QPoint) -> None:
    """A mouse move with the left button and Shift held."""
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QMouseEvent
    from PySide6.QtWidgets import QApplication

    event = QMouseEvent(
        QEvent.Type.MouseMove,
        QPointF(place),
        QPointF(viewport.mapToGlobal(place)),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.ShiftModifier,
    )
    QApplication.sendEvent(viewport, event)


def test_start_and_end_at_the_cursor_mark_a_stretch_from_the_keyboard(ride: MainWindow, qtbot: QtBot) -> None:
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    ride.session.cursor.move(1000.0)
    qtbot.keyClick(ride, Qt.Key.Key_S, both)
    ride.session.cursor.move(1200.0)
    (draft,) = ride.page.charts.heart.draft.spans
    assert (draft.start_x, draft.end_x) == (1000.0, 1200.0)
    with next_review(ride.session, qtbot):
        qtbot.keyClick(ride, Qt.Key.Key_E, both)
    (mine,) = [m for m in review_of(ride).marks if m.reason is Reason.BY_HAND]
    assert (mine.start_s, mine.end_s) == (1000.0, 1200.0)


def test_undo_in_a_number_box_takes_back_the_value_once_it_is_entered(ride: MainWindow, qtbot: QtBot) -> None:
    edge = ride.page.aim.band.upper_edge
    edge.setFocus()
    edge.selectAll()
    qtbot.keyClicks(edge, "140")
    with next_review(ride.session, qtbot):
        qtbot.keyClick(edge, Qt.Key.Key_Return)
    assert str(review_of(ride).aim.band) == "112-140 bpm"
    undo = ride.actions_by_slot["undo"]
    assert undo.text() == "&Undo change of the band"
    with next_review(ride.session, qtbot):
        qtbot.keyClick(edge, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert str(review_of(ride).aim.band) == "112-131 bpm"
    assert edge.value() == 131
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    with next_review(ride.session, qtbot):
        qtbot.keyClick(edge, Qt.Key.Key_Z, both)
    assert edge.value() == 140
    assert not ride.actions_by_slot["redo"].isEnabled()


def test_another_outing_starts_with_nothing_to_undo(ride: MainWindow, qtbot: QtBot, walk_file: Path) -> None:
    with next_review(ride.session, qtbot):
        ride.page.aim.band.upper_edge.setValue(140)
    assert ride.actions_by_slot["undo"].isEnabled()
    with next_review(ride.session, qtbot):
        ride.open([walk_file])
    assert not ride.actions_by_slot["undo"].isEnabled()


def test_the_sport_is_put_right_in_one_act_that_can_be_undone(
    ride: MainWindow, doubts: DoubtsPanel, qtbot: QtBot
) -> None:
    chosen = ride.page.recording.done.sport
    said = review_of(ride).recording.sport
    index = 1 + SPORTS.index(Sport.HIKING)
    with next_review(ride.session, qtbot):
        chosen.setCurrentIndex(index)
        chosen.activated.emit(index)
    assert review_of(ride).recording.sport is Sport.HIKING
    assert not review_of(ride).track.on_bike
    assert [note.kind for note in ride.session.notes.all if note.kind is NoteKind.SPORT] == [NoteKind.SPORT]
    with next_review(ride.session, qtbot):
        qtbot.keyClick(ride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert review_of(ride).recording.sport is said
    assert review_of(ride).track.on_bike


def test_a_time_zone_said_by_hand_is_shown_everywhere_and_can_be_undone(
    ride: MainWindow, doubts: DoubtsPanel, qtbot: QtBot
) -> None:
    zone, before = ride.page.recording.zone, ride.page.answer.facts.facts[0][0]
    index = zone.findData(5.75)
    with next_review(ride.session, qtbot):
        zone.setCurrentIndex(index)
        zone.activated.emit(index)
    recording = review_of(ride).recording
    there = recording.start_utc.astimezone(timezone(timedelta(hours=5, minutes=45)))
    qtbot.waitUntil(lambda: ride.page.answer.facts.facts[0][0] == f"{there:%Y-%m-%d %H:%M}", timeout=WAIT_MS)
    with next_review(ride.session, qtbot):
        qtbot.keyClick(ride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: ride.page.answer.facts.facts[0][0] == before, timeout=WAIT_MS)
    qtbot.waitUntil(lambda: zone.currentIndex() == 0, timeout=WAIT_MS)
