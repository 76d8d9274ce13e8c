"""A coach's quarter of an hour with a library of several athletes: nothing but keys, step after step."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

from PySide6.QtCore import QEventLoop, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from helpers.checks import not_none
from helpers.patience import WAIT_MS
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.week.page import WeekPage
from slopebeat.window.widgets.page_file import FileDialog

Key, Held = Qt.Key, Qt.KeyboardModifier
PLAIN, CTRL = Held.NoModifier, Held.ControlModifier
BOTH = CTRL | Held.ShiftModifier

MOST_TABS = 12
"""Presses of Tab after which whoever looks for the sentence gives up [project choice]."""

LOOK_EVERY_MS = 5
"""Between two looks whether the window rests [project choice]."""

REMARK, SENTENCE = "Looked at together.", "Begin slowly. "


class Coach:
    """Presses keys where the keyboard is and waits until the window rests, as a person does."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window
        self.presses = 0

    @property
    def page(self) -> WeekPage:
        return self.window.weeks.page

    @property
    def at_week(self) -> bool:
        return self.window.stack.currentWidget() is self.page

    def press(self, key: Qt.Key, held: Qt.KeyboardModifier = PLAIN) -> None:
        QTest.keyClick(_focus(self.window), key, held)
        self.presses += 1
        self.rest()

    def type(self, words: str) -> None:
        QTest.keyClicks(_focus(self.window), words)
        self.presses += len(words)
        self.rest()

    def tab_to(self, wanted: QWidget, held: Qt.KeyboardModifier = PLAIN) -> None:
        for _ in range(MOST_TABS):
            if _focus(self.window) is wanted:
                return
            self.press(Key.Key_Backtab if held else Key.Key_Tab, held)
        raise AssertionError(f"no Tab leads to {wanted.accessibleName()}")

    def rest(self) -> None:
        """Until nothing is read, written, worked out or drawn."""
        until(self._resting)

    def _resting(self) -> bool:
        session, week = self.window.session, self.window.weeks
        page = week._parts.begun
        busy = session.background.idle and session.library.idle and session.keeping.idle
        planning = page is not None and page._plan.isActive()
        read = session.library.outings.up_to_date and week.board.up_to_date
        return busy and session.steps.idle and read and not planning


def until(done: Callable[[], bool]) -> None:
    """Go on with events until something is so; AssertionError where it never is."""
    ends = time.monotonic() + WAIT_MS / 1000.0
    # Asking for events again and again would take the processor from the work that is waited for.
    loop, beat = QEventLoop(), QTimer(interval=LOOK_EVERY_MS)
    beat.start()
    while not done():
        assert time.monotonic() < ends, "the window did not come to rest"
        loop.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    QApplication.processEvents()


def _focus(window: MainWindow) -> QWidget:
    return QApplication.focusWidget() or window


def quarter_of_an_hour(coach: Coach, letters: Path) -> Iterator[str]:
    """Go through the last full week of every athlete; what was done is told after each step.

    Every outing that waits is opened, the first of each athlete gets a remark, all are ticked off; a word is
    put before the sentence for the week to come, and the letter saved. ``letters``: a folder for these.
    """
    coach.press(Key.Key_M, BOTH)
    until(lambda: coach.at_week)
    coach.rest()
    yield "the week of every athlete"
    coach.press(Key.Key_Left)
    yield "the week before"
    for number in range(len(coach.page.table.rows.rows)):
        if number:
            coach.press(Key.Key_Down)
        row = not_none(coach.page.table.picked)
        name = row.athlete.name
        yield f"{name}: picked"
        for at, waiting in enumerate(row.to_review):
            if at == 0:
                coach.press(Key.Key_Return)
            until(lambda: not coach.at_week)
            coach.rest()
            assert coach.window.session.keeping.kept_as == waiting.outing.identity
            yield f"{name}: outing {at + 1} drawn"
            if at == 0:
                coach.press(Key.Key_W, BOTH)
                coach.type(REMARK)
                coach.press(Key.Key_Return, CTRL)
                yield f"{name}: remark written"
            coach.press(Key.Key_J, CTRL)
            yield f"{name}: outing {at + 1} ticked off"
        assert coach.at_week
        coach.tab_to(coach.page.sentence)
        coach.press(Key.Key_Home, CTRL)
        coach.type(SENTENCE)
        yield f"{name}: sentence typed"
        _save(coach, letters / f"{number}.txt")
        yield f"{name}: letter saved"
        coach.tab_to(coach.page.table, Held.ShiftModifier)


def _save(coach: Coach, path: Path) -> None:
    """Through its button; the dialog of the system, which has keys of its own, is answered with a path."""
    asked = FileDialog.ask_to_save
    FileDialog.ask_to_save = staticmethod(lambda *_: path)  # type: ignore[method-assign, assignment]
    try:
        coach.tab_to(coach.page.letter)
        coach.press(Key.Key_Space)
    finally:
        FileDialog.ask_to_save = asked  # type: ignore[method-assign]
