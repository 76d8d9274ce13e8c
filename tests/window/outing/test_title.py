"""Changing the title of an outing: over the charts and in the list of outings, kept and taken back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import made
from helpers.patience import WAIT_MS
from helpers.window_acts import next_review
from slopebeat.library.notebooks import Notebooks
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey
from slopebeat.model.recording import LONGEST_TITLE, content_hash, typed_title
from slopebeat.session.session import Session
from slopebeat.window.notes.table import WORDS
from slopebeat.window.shell.main_window import MainWindow

TITLE = 1
F2, ENTER, ESCAPE, DELETE = Qt.Key.Key_F2, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Delete


def settled(session: Session, qtbot: QtBot) -> None:
    def done() -> bool:
        library = session.library
        return (
            session.background.idle and session.keeping.idle and library.idle and library.outings.up_to_date
        )

    qtbot.waitUntil(done, timeout=WAIT_MS)


def title(window: MainWindow) -> str:
    session = window.session
    return session.outing.recordings[session.outing.index].title


def test_a_title_typed_over_the_charts_is_kept_and_taken_back(ride: MainWindow, qtbot: QtBot) -> None:
    name = ride.page.answer.name
    before, shown = title(ride), name.text()
    qtbot.keyClick(ride, F2)
    assert name.line.hasFocus()
    assert (name.line.text(), name.line.selectedText()) == (shown, shown)
    qtbot.keyClicks(name.line, "Supply walk")
    qtbot.keyClick(name.line, ENTER)
    assert (name.text(), name.line.isVisible()) == ("Supply walk", False)
    settled(ride.session, qtbot)
    assert ride.windowTitle() == "Supply walk"
    assert ride.actions_by_slot["undo"].text() == "&Undo change of the title"
    key = ContentKey(content_hash(ride.session.settings.recent[0].read_bytes()), 0)
    assert Notebooks().read(key)[0].title == "Supply walk"
    qtbot.keyClick(ride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settled(ride.session, qtbot)
    assert (title(ride), name.text()) == (before, shown)
    assert Notebooks().read(key)[0].title == before


@pytest.mark.parametrize("typed", ["", "   ", None])
def test_nothing_typed_and_escape_leave_the_title(ride: MainWindow, qtbot: QtBot, typed: str | None) -> None:
    name = ride.page.answer.name
    before, done = title(ride), ride.session.history.undo_words
    qtbot.mouseDClick(name.words, Qt.MouseButton.LeftButton, pos=QPoint(5, 5))
    assert name.line.hasFocus()
    if typed is None:
        qtbot.keyClicks(name.line, "something else")
        qtbot.keyClick(name.line, ESCAPE)
    else:
        name.line.clear()
        qtbot.keyClicks(name.line, typed)
        qtbot.keyClick(name.line, ENTER)
    assert not name.line.isVisible()
    assert (title(ride), ride.session.history.undo_words) == (before, done)


def test_leaving_the_line_keeps_what_was_typed_but_never_for_another_outing(
    window: MainWindow, qtbot: QtBot, ride_file: Path, walk_file: Path
) -> None:
    with next_review(window.session, qtbot):
        window.open([ride_file, walk_file])
    name, outing = window.page.answer.name, window.session.outing
    qtbot.keyClick(window, F2)
    qtbot.keyClicks(name.line, "Forest round")
    window.page.aim.target.setFocus()
    assert outing.recordings[0].title == "Forest round"
    assert window.chooser.itemText(0).startswith("Forest round, ")
    settled(window.session, qtbot)
    qtbot.keyClick(window, F2)
    qtbot.keyClicks(name.line, "Lake")
    titles = [recording.title for recording in outing.recordings]
    with qtbot.waitSignal(outing.replaced, timeout=WAIT_MS):
        qtbot.keyClick(window, Qt.Key.Key_PageDown, Qt.KeyboardModifier.ControlModifier)
    assert [recording.title for recording in outing.recordings] == titles
    assert not name.line.isVisible()
    assert window.chooser.currentIndex() == 1


def test_f2_in_the_table_of_notes_changes_the_words_there(ride: MainWindow, qtbot: QtBot) -> None:
    ride.session.notes.add(new_note(NoteKind.REMARK, Author.COACH, "steep", start_s=60.0))
    ride.page.tabs.setCurrentWidget(ride.page.notes)
    table = ride.page.notes.table
    table.setFocus()
    table.setCurrentIndex(table.model().index(0, WORDS))
    qtbot.keyClick(table, F2)
    assert not ride.page.answer.name.line.isVisible()
    assert not_none(table.findChild(QLineEdit)).isVisible()


@pytest.fixture
def library_window(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> MainWindow:
    """The window on a library of twelve stated outings."""
    made(tmp_path / "walks.sqlite3")
    window.library._go_there = True
    window.session.library.open(tmp_path / "walks.sqlite3")
    settled(window.session, qtbot)
    return window


def test_what_is_typed_in_the_list_outlives_outings_that_arrive(
    library_window: MainWindow, qtbot: QtBot
) -> None:
    table, library = library_window.library.page.list, library_window.session.library
    table.setFocus()
    table.selectRow(2)
    qtbot.keyClick(table, F2)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    qtbot.keyClicks(editor, "Half a ti")
    library.opened.show_title(table.rows.rows[0].outing.identity, "Arrived")
    library.opened.load_rows()
    settled(library_window.session, qtbot)
    qtbot.keyClicks(editor, "tle")
    qtbot.keyClick(editor, ENTER)
    qtbot.waitUntil(lambda: "Half a title" in titles_of(library_window), timeout=WAIT_MS)


def test_what_is_typed_in_the_list_is_kept_when_a_header_is_clicked(
    library_window: MainWindow, qtbot: QtBot
) -> None:
    table = library_window.library.page.list
    table.setFocus()
    table.selectRow(2)
    qtbot.keyClick(table, F2)
    qtbot.keyClicks(QApplication.focusWidget(), "Before sorting")
    header = table.horizontalHeader()
    at = QPoint(header.sectionViewportPosition(TITLE) + 8, header.height() // 2)
    qtbot.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=at)
    settled(library_window.session, qtbot)
    qtbot.waitUntil(lambda: titles_of(library_window)[0] == "Before sorting", timeout=WAIT_MS)


def titles_of(window: MainWindow) -> list[str]:
    rows = window.library.page.list.rows
    return [rows.index(row, TITLE).data() for row in range(rows.rowCount())]


def type_in_list(window: MainWindow, qtbot: QtBot, row: int, words: str) -> str:
    """Type a title in the list; returns the identity of its outing."""
    table = window.library.page.list
    identity = str(table.rows.row_at(row).outing.identity)
    table.setFocus()
    table.selectRow(row)
    qtbot.keyClick(table, F2)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    assert editor.text() == table.rows.index(row, TITLE).data()
    editor.selectAll()
    qtbot.keyClicks(editor, words)
    qtbot.keyClick(editor, ENTER)
    rows = table.rows

    def listed() -> bool:
        return words in [row.outing.title for row in rows.rows if row.outing.identity == identity]

    qtbot.waitUntil(listed, timeout=WAIT_MS)
    return identity


def test_a_title_typed_in_the_list_is_kept_and_sorted_anew(library_window: MainWindow, qtbot: QtBot) -> None:
    opened, table = library_window.session.library.opened, library_window.library.page.list
    table.sortByColumn(TITLE, Qt.SortOrder.AscendingOrder)
    identity = type_in_list(library_window, qtbot, 3, "Zirbe hut")
    settled(library_window.session, qtbot)
    assert opened.library is not None
    assert opened.library.outings.get(identity).title == "Zirbe hut"
    assert table.rows.index(len(table.rows.rows) - 1, TITLE).data() == "Zirbe hut"
    assert table.picked == (identity,)
    library_window.session.rename(identity, "  ")
    settled(library_window.session, qtbot)
    assert opened.library.outings.get(identity).title == "Zirbe hut"


def test_the_outing_on_screen_renamed_in_the_list_is_an_act_like_any_other(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path
) -> None:
    session, table = library_window.session, library_window.library.page.list
    shutil.copy(walk_file, tmp_path / "walk.gpx")
    with qtbot.waitSignal(session.library.work.imported, timeout=WAIT_MS):
        session.library.import_paths([tmp_path / "walk.gpx"])
    settled(session, qtbot)
    lines = range(table.rows.rowCount())
    (row,) = [at for at in lines if table.rows.row_at(at).outing.file_name == "walk.gpx"]
    identity = str(table.rows.row_at(row).outing.identity)
    before = table.rows.row_at(row).outing.title
    with next_review(session, qtbot):
        session.library.open_outing(identity)
    library_window.library.show_library()
    type_in_list(library_window, qtbot, row, "Round the lake")
    qtbot.waitUntil(lambda: title(library_window) == "Round the lake", timeout=WAIT_MS)
    settled(session, qtbot)
    library = session.library.opened.library
    assert library is not None
    assert library.outings.get(identity).title == "Round the lake"
    assert library_window.stack.currentWidget() is library_window.library.page
    session.history.undo()
    settled(session, qtbot)
    assert library.outings.get(identity).title == before
    assert [r.outing.title for r in table.rows.rows if r.outing.identity == identity] == [before]


def test_a_title_is_one_line_that_can_be_kept() -> None:
    assert typed_title(" To the\thut\n and back\x00 ") == "To the hut and back"
    assert typed_title("half \ud800 a sign").encode("utf-8").decode("utf-8") == "half ? a sign"
    assert len(typed_title("hut " * 200)) <= LONGEST_TITLE
