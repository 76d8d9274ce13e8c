"""Acts of a person at the window that Qt's test module does not offer."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QMimeData, QObject, QPoint, QPointF, Qt, QUrl, SignalInstance
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.review.outing import Review
from slopebeat.session.session import Session
from slopebeat.window.shell.main_window import MainWindow


def wait_drawn(session: Session, qtbot: QtBot) -> None:
    """Wait until nothing waits to be drawn."""
    qtbot.waitUntil(lambda: session.steps.idle, timeout=WAIT_MS)


def go_to_library(window: MainWindow, qtbot: QtBot, path: Path) -> None:
    """Open the library at a place and go there; returns when all of it is read and added up."""
    library = window.session.library
    window.library._go_there = True
    library.open(path)
    # The one that was open before is at rest until this one is.
    qtbot.waitUntil(
        lambda: library.opened.library is not None and library.opened.library.path == path, timeout=WAIT_MS
    )
    qtbot.waitUntil(lambda: library.idle and library.outings.up_to_date, timeout=WAIT_MS)


@contextmanager
def next_review(session: Session, qtbot: QtBot) -> Iterator[None]:
    """What is done inside leads to another review; goes on when all of it is drawn."""
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        yield
    wait_drawn(session, qtbot)


@contextmanager
def heard(signal: SignalInstance, slot: Callable[[], object]) -> Iterator[None]:
    """Call this at each signal, but not once another test has the window."""
    held = signal.connect(slot)
    try:
        yield
    finally:
        QObject.disconnect(held)


def review_of(window: MainWindow) -> Review:
    """The review on screen."""
    review = window.session.outing.review
    assert review is not None
    return review


def drop(widget: QWidget, paths: Sequence[Path]) -> None:
    """Drop files on a widget."""
    content = QMimeData()
    content.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    act, button, key = (
        Qt.DropAction.CopyAction,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter = QDragEnterEvent(QPoint(50, 50), act, content, button, key)
    QApplication.sendEvent(widget, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(widget, QDropEvent(QPointF(50, 50), act, content, button, key))


def app() -> QApplication:
    """The application the tests run in."""
    running = QApplication.instance()
    assert isinstance(running, QApplication)
    return running
