"""Notes as a person writes them: by mouse, from the keyboard, in place; undone, told of and handed on."""

from __future__ import annotations

import csv
import json
import os
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication, QHelpEvent, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QToolTip
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from helpers.window_acts import next_review, review_of, wait_drawn
from slopebeat.model import measures
from slopebeat.model.marks import Reason
from slopebeat.model.notes import Author, Note, NoteKind, TalkTest, new_note
from slopebeat.plots.colours import LIGHT
from slopebeat.plots.outing.drag_mode import DragMode
from slopebeat.session.outing.notes import FILE_NAME, UnfinishedNotes
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.session.settings import Settings
from slopebeat.window.notes.form import KINDS, NoteValue
from slopebeat.window.notes.table import WORDS
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog

LEFT, CONTROL = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ControlModifier
NONE = Qt.KeyboardModifier.NoModifier
CONTROL_SHIFT = CONTROL | Qt.KeyboardModifier.ShiftModifier


def draft(window: MainWindow) -> tuple[float | None, float | None] | None:
    """Where the note being written stands."""
    return window.session.notes.draft


def place(window: MainWindow, t_s: float) -> QPoint:
    """The pixel of a second of the outing, in the middle of the heart rate."""
    charts = window.page.charts
    box = charts.heart.box
    return QPoint(charts.mapFromScene(box.mapViewToScene(QPointF(t_s, sum(box.viewRange()[1]) / 2))))


def drag(window: MainWindow, start_s: float, end_s: float, keys: Qt.KeyboardModifier) -> None:
    viewport = window.page.charts.viewport()
    QTest.mousePress(viewport, LEFT, keys, place(window, start_s))
    for share in (0.1, 0.4, 0.8, 1.0):
        here = place(window, start_s + share * (end_s - start_s))
        event = QMouseEvent(
            QEvent.Type.MouseMove,
            QPointF(here),
            QPointF(viewport.mapToGlobal(here)),
            Qt.MouseButton.NoButton,
            LEFT,
            keys,
        )
        QApplication.sendEvent(viewport, event)
    if window.page.charts.notes.mode.of(keys) is DragMode.NOTE:
        assert window.page.charts.heart.draft_note.spans
    QTest.mouseRelease(viewport, LEFT, keys, place(window, end_s))


def notes(window: MainWindow) -> tuple[Note, ...]:
    return window.session.notes.all


def write(window: MainWindow, qtbot: QtBot, words: str) -> None:
    """Type words into the card, which has the keyboard, and keep them."""
    card = window.page.notes.card
    assert window.page.tabs.currentWidget() is window.page.notes
    qtbot.keyClicks(card.form.words, words)
    qtbot.keyClick(card.form.words, Qt.Key.Key_Return, CONTROL)


def add(window: MainWindow, *made: Note) -> None:
    for note in made:
        window.session.notes.add(note)
    window.page.tabs.setCurrentWidget(window.page.notes)


def test_dragging_with_control_writes_a_note_on_the_stretch(ride: MainWindow, qtbot: QtBot) -> None:
    visible = (ride.session.visible.start_s, ride.session.visible.end_s)
    drag(ride, 2400.0, 3000.0, CONTROL)
    assert (ride.session.visible.start_s, ride.session.visible.end_s) == visible
    assert not notes(ride)
    write(ride, qtbot, "too fast here")
    (note,) = notes(ride)
    pixel_s = (visible[1] - visible[0]) / ride.page.charts.heart.box.width()
    assert note.start_s == pytest.approx(2400.0, abs=2 * pixel_s)
    assert note.end_s == pytest.approx(3000.0, abs=2 * pixel_s)
    assert note.text == "too fast here"
    assert [placed.note for placed in ride.page.charts.heart.lane.placed] == [note]
    assert not ride.page.charts.heart.draft_note.spans
    assert ride.page.tabs.tabText(ride.page.tabs.indexOf(ride.page.notes)) == "Notes (1)"


def test_in_the_note_mode_a_drag_marks_a_stretch_and_a_click_a_moment(ride: MainWindow, qtbot: QtBot) -> None:
    qtbot.mouseClick(ride.page.drag_mode.buttons[DragMode.NOTE], LEFT)
    drag(ride, 1200.0, 1800.0, NONE)
    assert ride.session.notes.draft is not None
    assert ride.session.notes.draft[1] is not None
    QTest.mouseClick(ride.page.charts.viewport(), LEFT, NONE, place(ride, 4000.0))
    assert ride.session.notes.draft[1] is None
    write(ride, qtbot, "spoke with others")
    (note,) = notes(ride)
    assert note.end_s is None
    assert note.start_s == pytest.approx(4000.0, abs=30.0)
    qtbot.mouseClick(ride.page.drag_mode.buttons[DragMode.LOOK], LEFT)
    before = ride.session.visible.start_s, ride.session.visible.end_s
    ride.session.visible.show(1000.0, 2000.0)
    drag(ride, 1700.0, 1300.0, NONE)
    assert ride.session.visible.start_s > 1000.0
    assert before[0] == 0.0


@pytest.mark.parametrize(("drawn_s", "kept"), [(1.0, True), (30.0, True), (0.9, False)])
def test_a_drag_of_a_second_or_more_is_a_stretch_and_a_shorter_one_a_moment(
    ride: MainWindow, drawn_s: float, kept: bool
) -> None:
    ride.page.charts.heart.range_box.chosen.emit(1200.0, 1200.0 + drawn_s, DragMode.NOTE)
    assert ride.session.notes.draft == (1200.0, pytest.approx(1200.0 + drawn_s) if kept else None)


def test_in_the_doubt_mode_a_drag_doubts_the_heart_rate(ride: MainWindow, qtbot: QtBot) -> None:
    qtbot.mouseClick(ride.page.drag_mode.buttons[DragMode.DOUBT], LEFT)
    with next_review(ride.session, qtbot):
        drag(ride, 2400.0, 3000.0, NONE)
    assert [m for m in review_of(ride).marks if m.reason is Reason.BY_HAND]
    assert not notes(ride)


def test_notes_are_written_from_the_keyboard(ride: MainWindow, qtbot: QtBot) -> None:
    ride.session.cursor.move(1500.0)
    qtbot.keyClick(ride, Qt.Key.Key_N, CONTROL)
    write(ride, qtbot, "first")
    ride.session.cursor.move(2000.0)
    qtbot.keyClick(ride, Qt.Key.Key_N, CONTROL_SHIFT)
    ride.session.cursor.move(2600.0)
    (span,) = ride.page.charts.heart.draft_note.spans
    assert (span.start_x, span.end_x) == (2000.0, 2600.0)
    qtbot.keyClick(ride, Qt.Key.Key_U, CONTROL_SHIFT)
    write(ride, qtbot, "second")
    qtbot.keyClick(ride, Qt.Key.Key_W, CONTROL_SHIFT)
    write(ride, qtbot, "third")
    ride.page.climbs.pick(0)
    qtbot.keyClick(ride, Qt.Key.Key_L, CONTROL_SHIFT)
    write(ride, qtbot, "fourth")
    climb = review_of(ride).climbs[0]
    found = {note.text: (note.start_s, note.end_s) for note in notes(ride)}
    assert found == {
        "first": (1500.0, None),
        "second": (2000.0, 2600.0),
        "third": (None, None),
        "fourth": (climb.start_s, climb.end_s),
    }


def test_escape_drops_the_place_and_the_words_stay(ride: MainWindow, qtbot: QtBot) -> None:
    ride.session.cursor.move(1500.0)
    qtbot.keyClick(ride, Qt.Key.Key_N, CONTROL)
    qtbot.keyClicks(ride.page.notes.card.form.words, "half a sentence")
    qtbot.keyClick(ride, Qt.Key.Key_Escape)
    assert ride.session.notes.draft is None
    assert ride.page.notes.card.form.place.currentText() == "whole outing"
    assert ride.page.notes.card.form.words.toPlainText() == "half a sentence"


def test_each_kind_asks_for_its_number_and_a_missing_one_is_told_with_all_kept(
    ride: MainWindow, qtbot: QtBot
) -> None:
    form, card = ride.page.notes.card.form, ride.page.notes.card
    ride.session.cursor.move(1500.0)
    qtbot.keyClick(ride, Qt.Key.Key_N, CONTROL)
    qtbot.keyClicks(form.words, "in the shade")
    form.kind.setFocus()
    form.kind.setCurrentIndex(KINDS.index(NoteKind.LACTATE))
    form.kind.activated.emit(form.kind.currentIndex())
    qtbot.mouseClick(card.save, LEFT)
    assert "needs its number" in card.problem.text()
    assert form.words.toPlainText() == "in the shade"
    assert not notes(ride)
    form.value.box.selectAll()
    qtbot.keyClicks(form.value.box, "1.4")
    qtbot.mouseClick(card.save, LEFT)
    (note,) = notes(ride)
    assert (note.kind, note.value, note.text) == (NoteKind.LACTATE, 1.4, "in the shade")
    assert card.problem.text() == ""


@pytest.mark.parametrize("sign", [".", ","])
@pytest.mark.parametrize("typed", ["1,4", "1.4"])
def test_the_number_of_a_note_is_typed_with_a_point_or_a_comma(qtbot: QtBot, sign: str, typed: str) -> None:
    measures.use_decimal_sign(sign)
    value = NoteValue()
    qtbot.addWidget(value)
    for kind in (NoteKind.LACTATE, NoteKind.LOAD):
        value.set_kind(kind)
        value.box.lineEdit().selectAll()
        qtbot.keyClicks(value.box.lineEdit(), typed)
        assert value.value() == 1.4
        assert value.box.text().startswith(f"1{sign}4")


def test_the_talk_test_is_answered_by_three_choices(ride: MainWindow, qtbot: QtBot) -> None:
    form = ride.page.notes.card.form
    qtbot.keyClick(ride, Qt.Key.Key_W, CONTROL_SHIFT)
    form.kind.setCurrentIndex(KINDS.index(NoteKind.TALK_TEST))
    form.kind.activated.emit(form.kind.currentIndex())
    words = [form.value.answer.itemText(i) for i in range(form.value.answer.count())]
    assert words == ["not given", "full sentences", "phrases", "single words"]
    qtbot.keyClicks(form.value.answer, "ph")
    qtbot.keyClick(form.words, Qt.Key.Key_Return, CONTROL)
    (note,) = notes(ride)
    assert note.value == float(TalkTest.PHRASES)


def test_words_are_changed_in_the_table_and_undone(ride: MainWindow, qtbot: QtBot) -> None:
    add(ride, new_note(NoteKind.REMARK, Author.COACH, "first words", start_s=600.0))
    table = ride.page.notes.table
    at = table.visualRect(table.model().index(0, WORDS)).center()
    QTest.mouseClick(table.viewport(), LEFT, NONE, at)
    QTest.mouseDClick(table.viewport(), LEFT, NONE, at)
    editor = table.findChild(QLineEdit)
    assert editor is not None
    editor.selectAll()
    qtbot.keyClicks(editor, "better words")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: notes(ride)[0].text == "better words", timeout=WAIT_MS)
    assert table.model().index(0, WORDS).data() == "better words"
    assert ride.actions_by_slot["undo"].text() == "&Undo change of a note"
    qtbot.keyClick(ride, Qt.Key.Key_Z, CONTROL)
    assert notes(ride)[0].text == "first words"
    qtbot.keyClick(ride, Qt.Key.Key_Z, CONTROL_SHIFT)
    assert notes(ride)[0].text == "better words"


def test_words_refused_in_the_table_stand_in_the_card_with_the_reason(ride: MainWindow, qtbot: QtBot) -> None:
    add(ride, new_note(NoteKind.SURFACE, Author.ATHLETE, "gravel", start_s=600.0))
    table, card = ride.page.notes.table, ride.page.notes.card
    table.setFocus()
    table.pick(0)
    qtbot.keyClick(table, Qt.Key.Key_Return)
    editor = table.findChild(QLineEdit)
    assert editor is not None
    editor.clear()
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(card.problem.text()), timeout=WAIT_MS)
    assert "needs some words" in card.problem.text()
    assert notes(ride)[0].text == "gravel"
    qtbot.keyClicks(card.form.words, "sand")
    qtbot.mouseClick(card.save, LEFT)
    assert notes(ride)[0].text == "sand"


def test_delete_takes_a_note_back_and_undo_brings_it_again(ride: MainWindow, qtbot: QtBot) -> None:
    add(
        ride,
        new_note(NoteKind.EFFORT, Author.ATHLETE, value=4.0, start_s=600.0),
        new_note(NoteKind.REMARK, Author.COACH, "stays", start_s=900.0),
    )
    table = ride.page.notes.table
    table.setFocus()
    table.pick(0)
    assert ride.session.selection.kind is Picked.NOTE
    assert ride.session.visible.start_s <= 600.0 <= ride.session.visible.end_s
    assert ride.session.visible.end_s - ride.session.visible.start_s >= 300.0
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    assert [note.text for note in notes(ride)] == ["stays"]
    assert len(ride.page.charts.heart.lane.placed) == 1
    qtbot.keyClick(ride, Qt.Key.Key_Z, CONTROL)
    assert [note.value for note in notes(ride)] == [4.0, None]
    qtbot.keyClick(ride, Qt.Key.Key_Z, CONTROL_SHIFT)
    assert len(notes(ride)) == 1


@pytest.mark.qt_log_ignore("This plugin does not support raise")
def test_hovering_over_a_flag_tells_the_words_and_a_click_selects_the_note(
    ride: MainWindow, qtbot: QtBot
) -> None:
    add(ride, new_note(NoteKind.REMARK, Author.COACH, "<b>calm</b> & steady", start_s=2400.0))
    charts = ride.page.charts
    lane = charts.heart.lane
    # The layout gives the lane its height when control returns to it.
    qtbot.waitUntil(lambda: lane.size().height() > 10, timeout=WAIT_MS)
    flag = charts.mapFromScene(lane.place_of(notes(ride)[0].identity))
    event = QHelpEvent(QEvent.Type.ToolTip, flag, charts.viewport().mapToGlobal(flag))
    QApplication.sendEvent(charts.viewport(), event)
    assert "&lt;b&gt;calm&lt;/b&gt; &amp; steady" in QToolTip.text()
    assert "coach" in QToolTip.text()
    QToolTip.hideText()
    QTest.mouseClick(charts.viewport(), LEFT, NONE, flag)
    assert ride.session.selection.kind is Picked.NOTE
    assert lane.selected == notes(ride)[0].identity
    assert charts.heart.highlight.spans


def test_the_menu_of_the_charts_places_notes(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.climbs.pick(0)
    menu = ride.page.menu.made(1234.0)
    acts = {action.text(): action for action in menu.actions() if action.text()}
    assert not acts["Note up to here"].isEnabled()
    acts["Note here, 0:20:34"].trigger()
    assert draft(ride) == (1234.0, None)
    acts["Note on the selected climb"].trigger()
    climb = review_of(ride).climbs[0]
    assert draft(ride) == (climb.start_s, climb.end_s)
    write(ride, qtbot, "well paced")
    assert notes(ride)[0].end_s == climb.end_s


def test_what_is_being_written_survives_a_look_at_another_note(ride: MainWindow, qtbot: QtBot) -> None:
    add(ride, new_note(NoteKind.REMARK, Author.COACH, "old", start_s=600.0))
    card = ride.page.notes.card
    qtbot.keyClicks(card.form.words, "not done")
    ride.page.notes.open(notes(ride)[0].identity)
    assert card.form.words.toPlainText() == "old"
    qtbot.mouseClick(card.discard, LEFT)
    assert card.form.words.toPlainText() == "not done"


def test_notes_go_with_report_tables_and_summary(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(
        ride,
        new_note(NoteKind.REMARK, Author.COACH, "<script>alert(1)</script> calmer", start_s=2400.0),
        new_note(NoteKind.SURFACE, Author.ATHLETE, "=cmd|' /C calc'!A0", start_s=600.0, end_s=900.0),
    )
    path = tmp_path / "a.html"
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: path)
    monkeypatch.setattr(FileDialog, "ask_folder", lambda *_: tmp_path)
    for slot in ("save_shown", "save_tables", "copy_summary"):
        ride.notice.hide()
        ride.actions_by_slot[slot].trigger()
        qtbot.waitUntil(ride.notice.isVisible, timeout=WAIT_MS)
    report = path.read_text(encoding="utf-8")
    assert "&lt;script&gt;alert(1)&lt;/script&gt; calmer" in report
    assert "<script" not in report
    with (tmp_path / "notes.csv").open(encoding="utf-8-sig", newline="") as table:
        rows = list(csv.DictReader(table))
    assert {row["start (s)"] for row in rows} == {"600.0", "2400.0"}
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row.values())
    summary = QGuiApplication.clipboard().text()
    assert "Note, 0:40:00, coach: remark: <script>alert(1)</script> calmer" in summary
    assert not any(line.startswith("=") for line in summary.split("\n"))


def test_three_lactate_samples_are_drawn_with_the_edges_they_imply(ride: MainWindow, qtbot: QtBot) -> None:
    track, panel = review_of(ride).track, ride.page.notes
    before = {t: (track.t_s >= t - 60) & (track.t_s < t) for t in range(300, 4000, 300)}
    known = np.isfinite(track.hr_bpm)
    bpm = {t: float(track.hr_bpm[i].mean()) for t, i in before.items() if i.sum() > 5 and known[i].all()}
    low, middle, high = (sorted(bpm, key=lambda t: bpm[t])[i] for i in (0, len(bpm) // 2, -1))
    values = {low: 0.8, middle: 1.4, high: 2.4}
    made = [new_note(NoteKind.LACTATE, Author.COACH, value=v, start_s=float(t)) for t, v in values.items()]
    add(ride, *made[:2])
    assert not panel.to_lactate.isEnabled()
    add(ride, made[2])
    qtbot.mouseClick(panel.to_lactate, LEFT)
    wait_drawn(ride.session, qtbot)
    assert panel.stack.currentWidget() is panel.lactate
    shown = dict(zip(*(list(values) for values in panel.lactate.chart.dots.getData()), strict=True))
    assert sorted(shown.values()) == [0.8, 1.4, 2.4]
    assert sorted(shown) == pytest.approx(sorted(bpm[t] for t in values), abs=1.0)
    lower, upper = panel.lactate.chart.edges["1.0 mmol/L"], panel.lactate.chart.edges["1.9 mmol/L"]
    # 1.0 is a third of the way from 0.8 to 1.4, 1.9 half of the way from 1.4 to 2.4.
    assert lower.hr_bpm == pytest.approx(bpm[low] + (bpm[middle] - bpm[low]) / 3, abs=1.0)
    assert upper.hr_bpm == pytest.approx((bpm[middle] + bpm[high]) / 2, abs=1.0)
    assert "medical clearance" in panel.lactate.caution.text()


def _again(window: MainWindow, qtbot: QtBot) -> MainWindow:
    """Another start of the program, with the settings of the first."""
    made = MainWindow(Session(Settings(window.session.settings.path)), LIGHT)
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    return made


def test_a_note_left_half_written_waits_for_the_next_start(
    own_ride: MainWindow, qtbot: QtBot, ride_file: Path, walk_file: Path
) -> None:
    """Ctrl+Q in the middle of a sentence: the card has it when the outing is opened again, and says so."""
    card = own_ride.page.notes.card
    card.form.kind.setCurrentIndex(KINDS.index(NoteKind.REMARK))
    qtbot.keyClicks(card.form.words, "half a sent")
    own_ride.actions_by_slot["close"].trigger()
    qtbot.waitUntil(lambda: not own_ride.isVisible(), timeout=WAIT_MS)
    file = own_ride.session.settings.path.with_name(FILE_NAME)
    assert file.stat().st_mode & 0o077 == 0
    later = _again(own_ride, qtbot)
    with next_review(later.session, qtbot):
        later.open([walk_file])
    assert later.page.notes.card.form.words.toPlainText() == "", "it is about another outing"
    with next_review(later.session, qtbot):
        later.open([ride_file])
    card = later.page.notes.card
    assert card.form.words.toPlainText() == "half a sent"
    assert "not finished when the window was closed" in card.problem.text()
    qtbot.mouseClick(card.save, LEFT)
    assert [note.text for note in later.session.notes.all] == ["half a sent"]
    later.close()
    assert json.loads(file.read_text()) == [], "it is kept and waits no longer"


def test_a_change_left_half_written_waits_for_the_next_start(
    own_ride: MainWindow, qtbot: QtBot, ride_file: Path
) -> None:
    own_ride.session.notes.add(new_note(NoteKind.REMARK, Author.ATHLETE, "old words"))
    own_ride.page.notes.open(own_ride.session.notes.all[0].identity)
    qtbot.keyClicks(own_ride.page.notes.card.form.words, "and new ones ")
    written = own_ride.page.notes.card.form.words.toPlainText()
    assert written != "old words"
    own_ride.close()
    later = _again(own_ride, qtbot)
    with next_review(later.session, qtbot):
        later.open([ride_file])
    card = later.page.notes.card
    assert card.note is not None
    assert card.form.words.toPlainText() == written
    assert [note.text for note in later.session.notes.all] == ["old words"]
    qtbot.mouseClick(card.discard, LEFT)
    assert "not finished" not in card.problem.text()
    later.close()
    assert json.loads(own_ride.session.settings.path.with_name(FILE_NAME).read_text()) == []


def test_an_unfinished_note_that_cannot_be_kept_holds_the_window_once(
    own_ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.keyClicks(own_ride.page.notes.card.form.words, "half")

    def full(*_arguments: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(os, "replace", full)
        own_ride.close()
        assert own_ride.isVisible()
        assert "No space left on device" in own_ride.notice.text.text()
        own_ride.close()
    assert not own_ride.isVisible()


def test_damaged_unfinished_notes_are_set_aside(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    for number, text in enumerate(
        ("[", "[" * 100_000, "[3]", '[{"outing": ["a", 3]}]', "3", "\udcff"), start=1
    ):
        (tmp_path / FILE_NAME).write_bytes(text.encode("utf-8", "surrogateescape"))
        assert UnfinishedNotes(tmp_path).read() == {}
        assert not (tmp_path / FILE_NAME).exists()
        assert (tmp_path / f"unfinished_notes.damaged-{number}.json").exists()
    assert len(caplog.records) == 6
    caplog.clear()
