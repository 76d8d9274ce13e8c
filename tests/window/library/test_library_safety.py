"""Backup, check and restore from the menu, and an archive given to Import, with the dialogs answered."""

from __future__ import annotations

import sqlite3
import zlib
from contextlib import closing
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.libraries import made
from helpers.patience import WAIT_MS
from slopebeat.library.faults import DamagedOriginals
from slopebeat.library.store import Library
from slopebeat.review.archive.library import write_archive
from slopebeat.window.library.backup import BackupDialog
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog


def settle(window: MainWindow, qtbot: QtBot) -> None:
    library = window.session.library
    qtbot.waitUntil(lambda: library.idle and window.session.background.idle, timeout=WAIT_MS)


@pytest.fixture
def opened(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> MainWindow:
    made(tmp_path / "walks.sqlite3")
    with qtbot.waitSignal(window.session.library.opened.opened, timeout=WAIT_MS):
        window.session.library.open(tmp_path / "walks.sqlite3")
    settle(window, qtbot)
    return window


def test_a_backup_is_saved_checked_and_restored_from_the_menu(
    opened: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup = tmp_path / "backup.sqlite3"
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: backup)
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: backup)
    opened.actions_by_slot["back_up_library"].trigger()
    settle(opened, qtbot)
    assert str(backup) in opened.notice.text.text()
    library = opened.session.library.opened.library
    assert library is not None
    before = library.outings.count()
    library.outings.remove([row.outing.identity for row in opened.session.library.opened.rows[:3]])
    opened.actions_by_slot["restore_library"].trigger()
    settle(opened, qtbot)
    qtbot.waitUntil(lambda: len(opened.session.library.opened.rows) == before, timeout=WAIT_MS)
    assert "before-restore" in opened.notice.text.text()


def test_a_damaged_backup_asks_before_it_is_restored(
    opened: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup = tmp_path / "backup.sqlite3"
    asked: list[object] = []
    library = opened.session.library.opened.library
    assert library is not None
    library.backup(backup)
    with closing(sqlite3.connect(backup)) as connection, connection:
        connection.execute("UPDATE content SET packed = ?", (zlib.compress(b"another"),))

    def refuse(_: object, damaged: DamagedOriginals) -> bool:
        asked.extend(damaged.names)
        return False

    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: backup)
    monkeypatch.setattr(BackupDialog, "ask_go_on", refuse)
    opened.actions_by_slot["restore_library"].trigger()
    settle(opened, qtbot)
    assert asked
    assert not [path for path in tmp_path.iterdir() if "before-restore" in path.name]


def test_an_archive_given_to_import_is_taken_in(
    opened: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library, athlete = opened.session.library.opened.library, opened.session.library.opened.athlete
    assert library is not None
    assert athlete is not None
    archive = tmp_path / "handed on.zip"
    write_archive(library, athlete.identity, archive)
    count = library.outings.count(athlete.identity)
    monkeypatch.setattr(FileDialog, "ask_to_open_many", lambda *_: [archive])
    with qtbot.waitSignal(opened.session.library.opened.opened, timeout=WAIT_MS):
        opened.session.library.open(tmp_path / "mine.sqlite3")
    settle(opened, qtbot)
    opened.actions_by_slot["import_files"].trigger()
    settle(opened, qtbot)
    with Library.open(tmp_path / "mine.sqlite3") as mine:
        assert mine.outings.count(athlete.identity) == count
    assert "The archive was taken in" in opened.notice.text.text()
