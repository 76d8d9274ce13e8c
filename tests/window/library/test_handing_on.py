"""Report, tables, pictures and copied text, asked for by the menu."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication, QImage
from pytestqt.qtbot import QtBot

from patience import WAIT_MS
from slopebeat.window.outing.handing_on import FolderDialog, SaveDialog
from slopebeat.window.shell.main_window import MainWindow


def _save(window: MainWindow, qtbot: QtBot, slot: str) -> str:
    window.notice.hide()
    window.actions_by_slot[slot].trigger()
    qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
    return window.notice.text.text()


def test_report_and_picture_are_written_as_the_suffix_says(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    starts = {"a.pdf": b"%PDF", "a.html": b"<!", "b.png": b"\x89PNG", "b.svg": b"<"}
    for name, start in starts.items():
        path = tmp_path / name
        monkeypatch.setattr(SaveDialog, "ask", lambda *_, path=path: path)
        slot = "save_report" if name.startswith("a") else "save_picture"
        assert name in _save(ride, qtbot, slot)
        assert path.read_bytes().startswith(start)
    assert not QImage(str(tmp_path / "b.png")).isNull()


def test_what_cannot_be_saved_is_said(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, words in (("a.doc", "nothing was saved"), ("missing/a.pdf", "could not be written")):
        monkeypatch.setattr(SaveDialog, "ask", lambda *_, name=name: tmp_path / name)
        assert words in _save(ride, qtbot, "save_report")
    assert not list(tmp_path.iterdir())


def test_tables_go_into_the_chosen_folder(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FolderDialog, "ask", lambda *_: tmp_path)
    assert str(tmp_path) in _save(ride, qtbot, "save_tables")
    assert {path.name for path in tmp_path.iterdir()} >= {"samples.csv", "climbs.csv", "episodes.csv"}


def test_copied_text_holds_band_and_every_row(ride: MainWindow, qtbot: QtBot) -> None:
    review = ride.session.outing.review
    assert review is not None
    _save(ride, qtbot, "copy_summary")
    assert "112" in QGuiApplication.clipboard().text()
    for slot, rows in (("copy_climbs", review.climbs), ("copy_episodes", review.episodes)):
        _save(ride, qtbot, slot)
        lines = QGuiApplication.clipboard().text().split("\n")
        assert len(lines) == len(rows) + 1
        assert len({line.count("\t") for line in lines}) == 1


def test_without_an_outing_a_sentence_says_so(window: MainWindow, qtbot: QtBot) -> None:
    assert "Open a recording first" in _save(window, qtbot, "save_report")
