"""Another program holds the library: the window goes on, and what was entered arrives in the end."""

from __future__ import annotations

import re
import sqlite3
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from pytestqt.qtbot import QtBot

from helpers.libraries import made
from helpers.patience import WAIT_MS
from slopebeat.library.connections import Connections
from slopebeat.model.bands import Band
from slopebeat.model.people import BandPeriod, Ground
from slopebeat.review.archive.library import write_archive
from slopebeat.session.ended import LastOpened
from slopebeat.session.library import library as session_library
from slopebeat.session.outing.opening import demo_files
from slopebeat.window.library.athletes import AthleteDialog
from slopebeat.window.library.band.dialog import BandsDialog
from slopebeat.window.library.band.finder import BandFinder
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.dialogs import Question
from slopebeat.window.widgets.page_file import FileDialog
from window.library.test_library import library_window, settle

__all__ = ["library_window"]

LONGEST_BLOCK_S = 5.0
"""Far over what drawing takes on a busy machine, far under the 15 s a library is waited for."""

_FRONT = re.compile(r"slopebeat[/\\](?:session|window)[/\\]")

TURNS = 50


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Another connection is in the middle of writing."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield
        other.execute("ROLLBACK")


def keep_turning(qtbot: QtBot) -> None:
    """The event loop turns this often, however busy the machine is."""
    turns: list[int] = []
    timer = QTimer()
    timer.setInterval(1)
    timer.timeout.connect(lambda: turns.append(1))
    timer.start()
    qtbot.waitUntil(lambda: len(turns) >= TURNS, timeout=WAIT_MS)
    timer.stop()


def test_an_athlete_entered_while_the_library_is_held_arrives(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    library = library_window.session.library
    dialog = AthleteDialog(library_window, None, library.opened.put_athlete)
    ended: list[int] = []
    dialog.finished.connect(ended.append)
    qtbot.keyClicks(dialog.name, "Trail patrol")
    with held(tmp_path / "walks.sqlite3"):
        dialog.buttons.button(dialog.buttons.StandardButton.Save).click()
        keep_turning(qtbot)
        dialog.reject()
        assert ended == []
        assert [a.name for a in library.opened.athletes] == ["Hut warden"]
    settle(qtbot, library_window)
    assert ended == [int(AthleteDialog.DialogCode.Accepted)]
    assert library.opened.athlete is not None
    assert library.opened.athlete.name == "Trail patrol"


def test_bands_changed_while_the_library_is_held_arrive_in_order(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    library = library_window.session.library
    assert library.opened.athlete is not None
    before = library.opened.periods
    added = [
        BandPeriod(library.opened.athlete.identity, Ground.BIKE, date(2031, 1, day), Band(110, 130))
        for day in (1, 2)
    ]
    with held(tmp_path / "walks.sqlite3"):
        library.entries.put_band(added[0])
        library.entries.put_band(added[1])
        library.opened.change(added[0].athlete, lambda kept: kept.bands.remove(added[0]))
        keep_turning(qtbot)
        assert library.opened.periods == before
    settle(qtbot, library_window)
    days = {p.from_day for p in library.opened.periods} - {p.from_day for p in before}
    assert days == {date(2031, 1, 2)}


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Where the window's own code asked for a connection on the window's thread; must stay empty."""
    found: list[str] = []
    current = Connections.current

    def watch(self: Connections) -> sqlite3.Connection:
        if threading.current_thread() is threading.main_thread():
            frames = traceback.extract_stack()
            found.extend(f"{f.filename}:{f.lineno}" for f in frames if _FRONT.search(f.filename))
        return current(self)

    monkeypatch.setattr(Connections, "current", watch)
    return found


@contextmanager
def measured(gaps_s: list[float]) -> Iterator[None]:
    """Inside, the longest time in which the event loop did not turn is found."""
    last = time.perf_counter()

    def turn() -> None:
        nonlocal last
        now = time.perf_counter()
        gaps_s.append(now - last)
        last = now

    timer = QTimer()
    timer.setInterval(1)
    timer.timeout.connect(turn)
    timer.start()
    yield
    turn()
    timer.stop()


def test_no_act_waits_for_a_library_that_is_held(
    library_window: MainWindow,
    qtbot: QtBot,
    tmp_path: Path,
    watched: list[str],
    monkeypatch: pytest.MonkeyPatch,
    record_property: Callable[[str, object], None],
) -> None:
    """Held until all is clicked: an act that waits would do so until the other is given up, 15 s later."""
    window, library = library_window, library_window.session.library
    path, page = tmp_path / "walks.sqlite3", library_window.library.page
    athlete, opened = library.opened.athlete, library.opened.library
    assert athlete is not None
    assert opened is not None
    first, second = page.list.rows.rows[0].outing, page.list.rows.rows[1].outing
    archive = tmp_path / "archive.zip"
    write_archive(opened, athlete.identity, archive)
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: tmp_path / "backup.sqlite3")
    place = LastOpened(first.title, library=str(path), athlete=athlete.identity, outing=first.identity)
    way = next(p for p in demo_files() if p.suffix == ".gpx")
    watched.clear()
    gaps_s: list[float] = []
    with held(path), measured(gaps_s):
        library.entries.put_band(BandPeriod(athlete.identity, Ground.BIKE, date(2031, 1, 1), Band(110, 130)))
        page.list.pick_outings((first.identity, second.identity))
        qtbot.keyClick(page.list, Qt.Key.Key_Delete)
        assert not page.removal.remove.isEnabled()
        qtbot.mouseClick(page.compare, Qt.MouseButton.LeftButton)
        window.session.rename(first.identity, "Held ridge")
        library.opened.set_teaches((second.identity,), False)
        library.opened.choose_athlete(athlete.identity)
        library.open_outing(first.identity)
        window.library.imports.import_paths([archive])
        for slot in ("back_up_library", "check_library"):
            window.actions_by_slot[slot].trigger()
        window.session.route.open(way)
        keep_turning(qtbot)
        window.session.route.learning.aim(Ground.FOOT)
        window.crash_offer.offer(place)
        window.crash_offer.again.click()
        keep_turning(qtbot)
    settle(qtbot, window)
    qtbot.waitUntil(lambda: window.session.route.idle, timeout=WAIT_MS)
    record_property("longest block, s", max(gaps_s))
    print(f"longest block {max(gaps_s) * 1e3:.0f} ms")
    assert max(gaps_s) < LONGEST_BLOCK_S
    assert watched == []
    assert "Held ridge" in [row.outing.title for row in library.opened.rows]


def test_the_demo_library_and_archives_are_looked_into_off_the_windows_thread(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, watched: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    threads: list[threading.Thread] = []

    def looked_into(_: object) -> bool:
        threads.append(threading.current_thread())
        return False

    monkeypatch.setattr(session_library, "demo_is_missing", looked_into)
    monkeypatch.setattr("slopebeat.review.archive.archive.is_archive", looked_into)
    monkeypatch.setattr(AthleteDialog, "ask", lambda *_: False)
    some_file = tmp_path / "some.zip"
    some_file.write_bytes(b"")
    with qtbot.waitSignal(window.session.library.opened.opened, timeout=WAIT_MS):
        window.library.demo_library()
    settle(qtbot, window)
    window.library.imports.import_paths([some_file])
    settle(qtbot, window)
    assert len(threads) == 2
    assert threading.main_thread() not in threads
    assert watched == []


def test_a_band_that_is_refused_stays_in_its_dialog(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever found it with a step test does not type the test again because another program writes."""
    monkeypatch.setattr("slopebeat.library.connections.BUSY_TIMEOUT_S", 0.05)
    made(tmp_path / "walks.sqlite3")
    library = window.session.library
    library.open(tmp_path / "walks.sqlite3")
    settle(qtbot, window)
    assert library.opened.athlete is not None
    before = library.opened.periods
    finder = BandFinder(window, library.opened.athlete, library.entries.put_band, date(2031, 1, 1))
    ended: list[int] = []
    finder.finished.connect(ended.append)
    finder.method.setCurrentText("Share of measured maximum")
    finder.page.hr_max.setValue(170)  # type: ignore[attr-defined]
    save = finder.buttons.button(finder.buttons.StandardButton.Save)
    with held(tmp_path / "walks.sqlite3"):
        save.click()
        assert not finder.buttons.isEnabled()
        qtbot.waitUntil(finder.buttons.isEnabled, timeout=WAIT_MS)
    assert ended == []
    assert "by another program" in finder.problem.text()
    assert finder.outcome.text() == "102-119 bpm"  # 60 and 70 % of 170 bpm
    assert library.opened.periods == before
    save.click()
    qtbot.waitUntil(lambda: ended == [int(BandFinder.DialogCode.Accepted)], timeout=WAIT_MS)
    settle(qtbot, window)
    assert len(library.opened.periods) == len(before) + 1
    dialog = BandsDialog(window, library)
    monkeypatch.setattr(Question, "ask", lambda *_: True)
    dialog.table.selectRow(0)
    with held(tmp_path / "walks.sqlite3"):
        dialog.remove.click()
        qtbot.waitUntil(lambda: "by another program" in dialog.problem.text(), timeout=WAIT_MS)
    assert len(library.opened.periods) == len(before) + 1


def test_what_is_damaged_is_named_over_the_list(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "walks.sqlite3"
    made(path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE outing SET start_us = 'x' WHERE title = 'Ridge 0'")
    window.library._go_there = True
    window.session.library.open(path)
    settle(qtbot, window)
    page = window.library.page
    qtbot.waitUntil(page.damage.isVisible, timeout=WAIT_MS)
    assert "Ridge 0" in page.damage.text()
    assert "Ridge 0" not in [row.outing.title for row in page.list.rows.rows]
