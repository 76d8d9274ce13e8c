"""Another program holds the library: the window goes on, and what was entered arrives in the end."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date
from pathlib import Path

from PySide6.QtCore import QTimer
from pytestqt.qtbot import QtBot

from slopebeat.model.bands import Band
from slopebeat.model.people import BandPeriod, Ground
from slopebeat.window.library.athlete_dialog import AthleteDialog
from slopebeat.window.shell.main_window import MainWindow
from window.library.test_library import WAIT_MS, library_window, settle

__all__ = ["library_window"]

TURNS = 50


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Another connection is in the middle of writing."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
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
    dialog = AthleteDialog(library_window, None, library.put_athlete)
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
        library.put_band(added[0])
        library.put_band(added[1])
        library.remove_band(added[0])
        keep_turning(qtbot)
        assert library.opened.periods == before
    settle(qtbot, library_window)
    days = {p.from_day for p in library.opened.periods} - {p.from_day for p in before}
    assert days == {date(2031, 1, 2)}
