"""Removing outings: asked first, with what is lost, and gone with everything written on them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.library.notebooks import Notebooks
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.window.shell.main_window import MainWindow
from window.library.test_library import library_window, settle

__all__ = ["library_window"]

WHEN = datetime(2026, 2, 1, 9, tzinfo=UTC)
MARK = Mark(30.0, 60.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)


def test_outings_are_removed_after_a_question_that_names_what_is_lost(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    page, session = library_window.library.page, library_window.session.library
    library = session.opened.library
    assert library is not None
    assert not page.remove.isEnabled()
    outing = page.list.rows.rows[0].outing
    other = page.list.rows.rows[1].outing
    library.notes.merge(outing.identity, [new_note(NoteKind.REMARK, Author.COACH, "steep")])
    library.outings.set_marks(outing.identity, (MARK,))
    key = ContentKey(outing.content_hash, outing.activity)
    Notebooks().write(key, Notebook(title="old"))
    before = library.outings.count()
    page.list.pick_outings((outing.identity, other.identity))
    qtbot.keyClick(page.list, Qt.Key.Key_Delete)
    assert page.removal.isVisible()
    assert not page.removal.remove.isEnabled()
    qtbot.waitUntil(page.removal.remove.isEnabled, timeout=WAIT_MS)
    words = page.removal.text.text()
    assert "Remove 2 outings" in words
    assert outing.title in words
    assert "1 note on them is lost." in words
    assert "doubted stretches of 1 outing is lost" in words
    qtbot.keyClick(page.removal.leave, Qt.Key.Key_Escape)
    assert not page.removal.isVisible()
    assert library.outings.count() == before
    page.list.pick_outings((outing.identity,))
    qtbot.mouseClick(page.remove, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(page.removal.remove.isEnabled, timeout=WAIT_MS)
    qtbot.mouseClick(page.removal.remove, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: library.outings.count() == before - 1, timeout=WAIT_MS)
    settle(qtbot, library_window)
    assert outing.identity not in [row.outing.identity for row in page.list.rows.rows]
    assert library.notes.of(outing.identity) == ()
    assert Notebooks().read(key)[0] == Notebook()
    assert library.outings.get(other.identity) == other
