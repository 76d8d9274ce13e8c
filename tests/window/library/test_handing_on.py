"""Report, tables, pictures and copied text, asked for by the menu."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import made
from helpers.patience import WAIT_MS
from slopebeat.report.pictures import PNG_DPI
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.notices import Opener
from slopebeat.window.widgets.page_file import FileDialog


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
        monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_, path=path: path)
        slot = "save_shown" if name.startswith("a") else "save_picture"
        assert name in _save(ride, qtbot, slot)
        assert path.read_bytes().startswith(start)
    assert not QImage(str(tmp_path / "b.png")).isNull()


def test_what_cannot_be_saved_is_said(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, words in (("a.doc", "nothing was saved"), ("missing/a.pdf", "could not be written")):
        monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_, name=name: tmp_path / name)
        assert words in _save(ride, qtbot, "save_shown")
    assert not list(tmp_path.iterdir())


def test_tables_go_into_the_chosen_folder(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_folder", lambda *_: tmp_path)
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
    assert "Open a recording first" in _save(window, qtbot, "save_shown")


def test_the_name_offered_is_made_of_day_title_and_sport(
    ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: list[str] = []
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda _, __, name, ___: offered.append(name))
    ride.session.edit_title('../a:b*? "Ridge" \\ <1>')
    outing = ride.session.outing
    qtbot.waitUntil(lambda: "Ridge" in not_none(outing.review).recording.title, timeout=WAIT_MS)
    for slot in ("save_shown", "save_picture"):
        ride.actions_by_slot[slot].trigger()
    recording = outing.recordings[0]
    assert offered[0].startswith(recording.start_text[:10])
    assert offered[0].endswith("cycling.pdf")
    assert offered[1].endswith("cycling.png")
    assert "Ridge" in offered[0]
    assert not set(offered[0]) & set('/\\:*?"<>| ')


def test_what_was_saved_opens_from_the_message_else_its_folder(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[Path] = []
    path = tmp_path / "a.pdf"
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: path)

    def noted(wanted: Path) -> bool:
        opened.append(wanted)
        return wanted.is_dir()

    monkeypatch.setattr(Opener, "open", noted)
    _save(ride, qtbot, "save_shown")
    assert ride.notice.opens.isVisible()
    ride.notice.opens.click()
    assert opened == [path, tmp_path]
    assert str(path) in ride.notice.text.text()
    monkeypatch.setattr(Opener, "open", lambda wanted: False)
    ride.notice.opens.click()
    assert str(tmp_path) in ride.notice.text.text()
    assert not ride.notice.opens.isVisible()


def test_a_copied_picture_is_as_wide_as_a_page_at_its_sharpness(ride: MainWindow, qtbot: QtBot) -> None:
    _save(ride, qtbot, "copy_picture")
    picture = QGuiApplication.clipboard().image()
    # ISO 216: A4 is 210 mm wide; an inch has 25.4 mm.
    assert picture.width() == pytest.approx(210 / 25.4 * PNG_DPI, abs=1)


def test_no_outing_is_saved_that_is_not_shown(
    ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda _, title, *__: asked.append(title))
    ride.stack.setCurrentWidget(ride.library.page)
    assert "no report of its own" in _save(ride, qtbot, "save_shown")
    ride.stack.setCurrentWidget(ride.weeks.page)
    assert "no report of its own" in _save(ride, qtbot, "save_shown")
    assert asked == []
    ride.stack.setCurrentWidget(ride.page)
    ride.actions_by_slot["save_shown"].trigger()
    assert asked == ["Save report"]


def test_the_months_and_the_week_are_saved_as_the_page_that_is_shown(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(tmp_path / "walks.sqlite3", 18)
    library = window.session.library
    library.open(tmp_path / "walks.sqlite3")
    qtbot.waitUntil(lambda: library.idle and library.outings.up_to_date, timeout=WAIT_MS)
    names: list[str] = []
    for page, show in (("months", window.library.show_months), ("week", window.weeks.show_week)):
        show()
        qtbot.waitUntil(lambda: window.session.background.idle and window.session.steps.idle, timeout=WAIT_MS)
        for ending in ("pdf", "csv", "json", "doc"):
            path = tmp_path / f"{page}.{ending}"

            def ask(_: QWidget, _title: str, name: str, _kinds: str, path: Path = path) -> Path:
                names.append(name)
                return path

            monkeypatch.setattr(FileDialog, "ask_to_save", ask)
            told = _save(window, qtbot, "save_shown")
            assert ("nothing was saved" if ending == "doc" else str(path)) in told
    athlete = not_none(library.opened.athlete)
    assert names[0] == f"Months_of_{athlete.name.replace(' ', '_')}.pdf"
    assert names[-1].startswith("Week_")
    for page in ("months", "week"):
        assert (tmp_path / f"{page}.pdf").read_bytes().startswith(b"%PDF-")
        assert len((tmp_path / f"{page}.csv").read_text(encoding="utf-8").splitlines()) > 3
    months = json.loads((tmp_path / "months.json").read_text(encoding="utf-8"))
    (everybody,) = json.loads((tmp_path / "week.json").read_text(encoding="utf-8"))["athletes"]
    assert months["athlete"] == everybody["athlete"] == athlete.name
    both = {week["week"]: week["in_band_s"] for week in months["weeks"]}
    assert {week["week"]: week["in_band_s"] for week in everybody["weeks"]} == both
