"""An athlete's archive saved in one library and taken into another, from the menu."""

from __future__ import annotations

from pathlib import Path
from uuid import uuid4

import pytest
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library
from slopebeat.model.errors import Cancelled
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete
from slopebeat.review.archive.library import write_archive
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog


def settle(window: MainWindow, qtbot: QtBot) -> None:
    library = window.session.library
    qtbot.waitUntil(lambda: library.idle and window.session.background.idle, timeout=WAIT_MS)


def stop(_done: int, _total: int, _name: str) -> None:
    """Progress told to someone who has just pressed Cancel."""
    raise Cancelled


def open_library(window: MainWindow, qtbot: QtBot, path: Path) -> Library:
    with qtbot.waitSignal(window.session.library.opened.opened, timeout=WAIT_MS):
        window.session.library.open(path)
    settle(window, qtbot)
    library = window.session.library.opened.library
    assert library is not None
    return library


def test_an_archive_goes_from_one_library_into_another_with_its_notes(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    archive = tmp_path / "warden.zip"
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: archive)
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: archive)
    library = open_library(window, qtbot, tmp_path / "one.sqlite3")
    window.session.library.opened.put_athlete(Athlete(str(uuid4()), "Hut warden"))
    settle(window, qtbot)
    window.session.library.import_paths([walk_file])
    settle(window, qtbot)
    athlete = window.session.library.opened.athlete
    assert athlete is not None
    (outing,) = library.outings.of(athlete.identity)
    library.notes.merge(outing.identity, [new_note(NoteKind.REMARK, Author.COACH, "calm", start_s=60.0)])
    with pytest.raises(Cancelled):
        write_archive(library, athlete.identity, archive, stop)
    # Neither the archive nor a part of it.
    assert not [path for path in tmp_path.iterdir() if path.suffix == ".zip"]
    window.notice.hide()
    window.actions_by_slot["save_archive"].trigger()
    qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
    assert "1 outing and 1 note" in window.notice.text.text()
    assert "as that person agrees" in window.notice.text.text()
    assert archive.read_bytes().startswith(b"PK")
    other = open_library(window, qtbot, tmp_path / "two.sqlite3")
    for words in ("1 new outing, 0 outings already there, 1 note added", "0 new outings, 1 outing already"):
        window.notice.hide()
        window.actions_by_slot["take_in_archive"].trigger()
        qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
        settle(window, qtbot)
        assert words in window.notice.text.text()
    (person,) = other.athletes
    (here,) = other.outings.of(person.identity)
    assert (person.name, [note.text for note in other.notes.of(here.identity)]) == ("Hut warden", ["calm"])


def test_taking_in_an_archive_shows_its_notes_on_the_outing_that_is_open(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    archive, session = tmp_path / "warden.zip", window.session
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: archive)
    warden = Athlete(str(uuid4()), "Hut warden")
    for name in ("one.sqlite3", "two.sqlite3"):
        library = open_library(window, qtbot, tmp_path / name)
        session.library.opened.put_athlete(warden)
        settle(window, qtbot)
        session.library.import_paths([walk_file])
        settle(window, qtbot)
        (outing,) = library.outings.of(warden.identity)
        if name == "one.sqlite3":
            library.notes.merge(outing.identity, [new_note(NoteKind.REMARK, Author.COACH, "calm")])
            write_archive(library, warden.identity, archive)
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.library.open_outing(outing.identity)
    session.notes.add(new_note(NoteKind.REMARK, Author.ATHLETE, "warm"))
    window.actions_by_slot["take_in_archive"].trigger()
    qtbot.waitUntil(lambda: len(session.notes.all) == 2, timeout=WAIT_MS)
    settle(window, qtbot)
    assert {note.text for note in session.notes.all} == {"calm", "warm"}


def test_what_is_no_archive_is_told_and_changes_nothing(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: walk_file)
    library = open_library(window, qtbot, tmp_path / "one.sqlite3")
    window.notice.hide()
    window.actions_by_slot["take_in_archive"].trigger()
    qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
    assert "not an archive of this program" in window.notice.text.text()
    assert library.outings.count() == 0


def test_without_a_library_nothing_can_be_saved_and_a_sentence_says_so(window: MainWindow) -> None:
    window.actions_by_slot["save_archive"].trigger()
    assert "library" in window.notice.text.text()


def test_an_archive_is_taken_into_the_users_own_library_made_where_missing(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    archive = tmp_path / "warden.zip"
    with Library.create(tmp_path / "one.sqlite3") as one:
        warden = one.athletes.add(Athlete(str(uuid4()), "Hut warden"))
        write_archive(one, warden.identity, archive)
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: archive)
    assert not library_path().exists()
    window.actions_by_slot["take_in_archive"].trigger()
    qtbot.waitUntil(lambda: "taken in" in window.notice.text.text(), timeout=WAIT_MS)
    settle(window, qtbot)
    with Library.open(library_path()) as mine:
        assert [athlete.name for athlete in mine.athletes] == ["Hut warden"]
