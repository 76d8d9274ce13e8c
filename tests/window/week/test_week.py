"""The board of the week with six athletes of a walk each."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.patience import WAIT_MS
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, BandPeriod, Ground, PhaseKind, Prescription
from slopebeat.review.imports.importing import import_files
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.week.dated import KINDS, DatedDialog
from slopebeat.window.week.page import WeekPage
from slopebeat.window.widgets.page_file import FileDialog

ROLES = ("Guide", "Hut warden", "Lift hand", "Ranger", "Trail patrol", "Way builder")
TODAY = date(2026, 7, 14)
"""The Tuesday after the walk, which was on Sunday 12 July 2026, in week 28."""


@pytest.fixture(scope="module")
def six(tmp_path_factory: pytest.TempPathFactory, walk_file: Path) -> bytes:
    """A library of six athletes, each with the same walk; reviewed once."""
    path = tmp_path_factory.mktemp("six") / "six.sqlite3"
    with Library.create(path) as library:
        for number, role in enumerate(ROLES):
            who = library.athletes.add(Athlete(new_identity(), role))
            library.dated.put(Prescription(who.identity, date(2026, 6, 1), 90.0, 2, 5.0 + number))
            band = Band(100 + 3 * number, 120 + 3 * number)
            library.bands.put(BandPeriod(who.identity, Ground.FOOT, date(2026, 1, 1), band))
            report = import_files(library, who.identity, [walk_file], workers=1)
            assert len(report.imported) == 1
        (first,) = library.outings.of(next(iter(library.athletes)).identity)
        library.notes.merge(first.identity, [new_note(NoteKind.REMARK, Author.ATHLETE, "easy")])
    return path.read_bytes()


@pytest.fixture
def page(window: MainWindow, qtbot: QtBot, tmp_path: Path, six: bytes) -> WeekPage:
    """The week of the six, as it is looked at two days later."""
    (tmp_path / "six.sqlite3").write_bytes(six)
    window.weeks.board._today = lambda: TODAY
    window.weeks.board.show(TODAY)
    library = window.session.library
    library.open(tmp_path / "six.sqlite3")
    qtbot.waitUntil(lambda: library.opened.library is not None and library.idle, timeout=WAIT_MS)
    window.weeks.show_week()
    rest(window, qtbot)
    return window.weeks.page


def rest(window: MainWindow, qtbot: QtBot) -> None:
    """Until all is read, written and drawn."""
    session = window.session

    def still() -> bool:
        busy = session.background.idle and session.library.idle and session.keeping.idle
        page = window.weeks._parts.begun
        planning = page is not None and page._plan.isActive()
        return busy and session.steps.idle and session.library.outings.up_to_date and not planning

    qtbot.waitUntil(still, timeout=WAIT_MS)


def test_the_page_is_made_in_pieces_and_who_goes_elsewhere_stays_there(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, six: bytes
) -> None:
    (tmp_path / "six.sqlite3").write_bytes(six)
    library = window.session.library
    library.open(tmp_path / "six.sqlite3")
    qtbot.waitUntil(lambda: library.opened.library is not None and library.idle, timeout=WAIT_MS)
    window.library.show_library()
    rest(window, qtbot)
    window.weeks.show_week()
    parts: list[int] = []
    while not window.weeks._parts.whole:
        assert window.stack.currentWidget() is window.library.page
        parts.append(len(not_none(window.weeks._parts.begun).findChildren(QWidget)))
        if len(set(parts)) == 4:
            window.stack.setCurrentWidget(window.welcome)
            break
        window.session.steps._run_next()
    assert parts[0] == 0
    assert not window.weeks._parts.whole
    rest(window, qtbot)
    assert window.weeks._parts.whole
    assert window.stack.currentWidget() is window.welcome
    window.weeks.show_week()
    assert window.stack.currentWidget() is window.weeks.page


def press(window: MainWindow, qtbot: QtBot, key: Qt.Key, held: Qt.KeyboardModifier | None = None) -> None:
    """A key where the keyboard is."""
    there = not_none(QApplication.focusWidget())
    QTest.keyClick(there, key, held or Qt.KeyboardModifier.NoModifier)
    rest(window, qtbot)


def cells(page: WeekPage, line: int) -> dict[str, str]:
    model = page.table.model()
    heads = [str(model.headerData(c, Qt.Orientation.Horizontal)) for c in range(model.columnCount())]
    return {head: str(model.index(line, c).data()) for c, head in enumerate(heads)}


CTRL = Qt.KeyboardModifier.ControlModifier


def test_each_row_counts_what_is_to_be_reviewed_and_what_was_written(
    window: MainWindow, page: WeekPage, qtbot: QtBot
) -> None:
    assert page.table.hasFocus()
    assert [cells(page, line)["To\nreview"] for line in range(6)] == ["–"] * 6
    press(window, qtbot, Qt.Key.Key_Left)
    assert "2026-W28, 2026-07-06 to 2026-07-12" in page.head.text()
    assert [cells(page, line)["Athlete"] for line in range(6)] == list(ROLES)
    assert [cells(page, line)["To\nreview"] for line in range(6)] == ["1 of 1"] * 6
    assert [cells(page, line)["New\nnotes"] for line in range(6)] == ["1", *"00000"]


def test_a_tick_is_taken_back_by_key_and_by_undo(window: MainWindow, page: WeekPage, qtbot: QtBot) -> None:
    press(window, qtbot, Qt.Key.Key_Left)
    press(window, qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.stack.currentWidget() is window.page_loader.made, timeout=WAIT_MS)
    rest(window, qtbot)
    box, acts = window.chooser_corner.reviewed, window.actions_by_slot
    library = not_none(window.session.library.opened.library)
    who = window.session.keeping.kept_for
    for slot, ticked in (("tick_reviewed", True), ("undo", False), ("redo", True), ("tick_reviewed", False)):
        acts[slot].trigger()
        rest(window, qtbot)
        assert box.isChecked() is ticked
        assert bool(library.ticks.of(who)) is ticked
    box.click()
    rest(window, qtbot)
    assert len(library.ticks.of(who)) == 1


def test_the_sentence_for_the_week_to_come_is_worked_out_and_can_be_typed(
    window: MainWindow, page: WeekPage, qtbot: QtBot
) -> None:
    # The week under way lacks all of its 90 minutes.
    assert "2026-07-13" in page.coming.text()
    missing = "1 h 30 min missing"
    qtbot.waitUntil(lambda: page.sentence.toPlainText().startswith(missing), timeout=WAIT_MS)
    worked_out = page.sentence.toPlainText()
    page.sentence.setPlainText("Two easy hours by the lake.")
    press(window, qtbot, Qt.Key.Key_Down)
    assert page.sentence.toPlainText() != "Two easy hours by the lake."
    press(window, qtbot, Qt.Key.Key_Up)
    assert page.sentence.toPlainText() == "Two easy hours by the lake."
    page.again.click()
    assert page.sentence.toPlainText() == worked_out


def test_no_week_after_the_one_that_holds_today_is_shown(
    window: MainWindow, page: WeekPage, qtbot: QtBot
) -> None:
    head = page.head.text()
    press(window, qtbot, Qt.Key.Key_Right)
    assert page.head.text() == head
    assert not page.later.isEnabled()


def test_a_prescription_and_a_phase_are_entered_with_their_days(
    window: MainWindow, page: WeekPage, qtbot: QtBot
) -> None:
    library, row = window.session.library, not_none(page.table.picked)
    dialog = DatedDialog(window, library, row.athlete.identity, date(2026, 7, 13))
    qtbot.addWidget(dialog)
    dialog.minutes.setValue(40)
    dialog.above.setValue(30)
    dialog.keep.click()
    rest(window, qtbot)
    assert not_none(page.table.picked).row.week.prescription == Prescription(
        row.athlete.identity, date(2026, 7, 13), 40.0, None, 30.0
    )
    dialog.kind.setCurrentIndex(KINDS.index(PhaseKind.CAMP))
    dialog.last.set_day(date(2026, 7, 1))
    dialog.keep.click()
    rest(window, qtbot)
    assert "ends on the day it begins" in dialog.problem.text()
    dialog.last.set_day(date(2026, 7, 19))
    dialog.text.setText("hut week")
    dialog.keep.click()
    rest(window, qtbot)
    assert [each.text for each in not_none(page.table.picked).row.phases] == ["hut week"]
    assert dialog.table.rowCount() == 3
    dialog.table.selectRow(0)
    dialog.remove.click()
    rest(window, qtbot)
    assert dialog.table.rowCount() == 2
    # What was removed is there again, and the prescription replaced on its day, too.
    window.commands.undo()
    rest(window, qtbot)
    assert dialog.table.rowCount() == 3
    dialog.kind.setCurrentIndex(KINDS.index(Prescription))
    dialog.minutes.setValue(55)
    dialog.keep.click()
    rest(window, qtbot)
    assert not_none(not_none(page.table.picked).row.week.prescription).minutes_per_week == 55.0
    window.commands.undo()
    rest(window, qtbot)
    assert not_none(not_none(page.table.picked).row.week.prescription).minutes_per_week == 40.0
    window.commands.undo()
    window.commands.redo()
    rest(window, qtbot)
    press(window, qtbot, Qt.Key.Key_Left)
    # The week before is judged by what was in force then.
    assert cells(page, 0)["In band\nmin"].endswith("of 90")


def test_the_sentence_is_saved_as_a_letter_with_what_was_typed(
    window: MainWindow, page: WeekPage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.waitUntil(page.letter.isEnabled, timeout=WAIT_MS)
    page.sentence.setPlainText("Two easy hours by the lake.")
    for name in ("guide.txt", "guide.doc"):
        monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_, name=name: tmp_path / name)
        window.notice.hide()
        page.letter.click()
        qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
    assert "nothing was saved" in window.notice.text.text()
    text = (tmp_path / "guide.txt").read_text(encoding="utf-8")
    assert "Two easy hours by the lake." in text
    assert "Guide" in text


def test_a_week_still_being_read_is_not_shown_in_another_library(
    page: WeekPage, window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    board, library, empty = window.weeks.board, window.session.library, tmp_path / "empty.sqlite3"
    Library.create(empty).close()
    assert len(board.board.rows) == len(ROLES)
    board.load()
    assert not board.up_to_date
    library.opened.opened.emit()
    assert board.up_to_date
    library.open(empty)
    qtbot.waitUntil(lambda: not_none(library.opened.library).path == empty, timeout=WAIT_MS)
    rest(window, qtbot)
    assert board.board.rows == ()
    assert page.table.model().rowCount() == 0
