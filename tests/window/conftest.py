"""A window on invented outings: one for the tests of a run, or one of a test's own.

``ride`` is what most tests want: the window of the run, showing a ride no test has touched. A test that looks
at a start, closes the window, or leaves it in another language or look, takes ``own_ride`` or ``window``.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from helpers.own_home import use_home
from helpers.patience import WAIT_MS
from helpers.window_acts import next_review, wait_drawn
from helpers.window_state import state_of
from slopebeat.plots.colours import LIGHT
from slopebeat.plots.outing.drag_mode import DragMode
from slopebeat.session.outing.aim import BandChoice, Entered
from slopebeat.session.outing.opening import demo_files
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.session import Session
from slopebeat.session.settings import Preferences
from slopebeat.window.shell.main_window import MainWindow

BAND = BandChoice(lower_bpm=112, upper_bpm=131)
SIZE_PX = (1280, 800)


@pytest.fixture(scope="session", autouse=True)
def _what_is_loaded_stays() -> None:
    """What the tests of other rooms loaded and keep: a collection for each window need not go through it."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def walk_file() -> Path:
    return next(path for path in demo_files() if path.suffix == ".gpx")


@pytest.fixture(scope="session")
def ride_file() -> Path:
    return next(path for path in demo_files() if path.suffix == ".tcx")


@pytest.fixture(scope="module")
def module_bot(request: pytest.FixtureRequest, qapp: QApplication) -> QtBot:
    """Waits for what windows do that are made once for a module."""
    return QtBot(request)


def new_window() -> MainWindow:
    """A window as it is at the first start, shown."""
    # The windows of earlier tests wait for an event loop to delete them; until then all is styled with them.
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    # What is left of them in cycles goes here and now: a thread at work might be the one to collect it.
    gc.collect()
    made = MainWindow(Session(), LIGHT)
    made.resize(*SIZE_PX)
    made.show()
    return made


def put_away(window: MainWindow) -> None:
    """Close a window; it is deleted, and collected on this thread, before the next one is made."""
    window.session.close()
    window.close()
    window.deleteLater()


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[MainWindow]:
    """The window as it is at the first start."""
    made = new_window()
    yield made
    put_away(made)


def open_ride(window: MainWindow, qtbot: QtBot, ride_file: Path) -> None:
    """Show the invented ride with a band of 112-131, entered before it was opened."""
    entered = window.session.aim.entered
    window.session.aim.enter(replace(entered, choice=BAND))
    with next_review(window.session, qtbot):
        window.open([ride_file])


@pytest.fixture
def own_ride(window: MainWindow, qtbot: QtBot, ride_file: Path) -> MainWindow:
    """A window of the test's own, just started, showing the ride with the band."""
    open_ride(window, qtbot, ride_file)
    return window


@dataclass
class Reused:
    """A window the tests of a module hand on, as long as nothing tells it from how it was first made."""

    home: Path
    window: MainWindow | None = None
    fresh: Sequence[object] = ()

    def take(
        self,
        monkeypatch: pytest.MonkeyPatch,
        make: Callable[[], MainWindow],
        put_back: Callable[[MainWindow], object],
    ) -> MainWindow:
        """The window of the test before where it could be put back, else one that is made."""
        use_home(self.home, monkeypatch)
        if self.window is not None:
            put_back(self.window)
            if state_of(self.window) != self.fresh:
                put_away(self.window)
                self.window = None
        if self.window is None:
            self.window = make()
            self.fresh = state_of(self.window)
        return self.window


@pytest.fixture(scope="module")
def reused(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Reused]:
    made = Reused(tmp_path_factory.mktemp("home"))
    yield made
    if made.window is not None:
        put_away(made.window)


@dataclass
class Shared:
    """The window of a run, made when a test first wants it, and the folder its settings lie in."""

    home: Path
    opened: int = 0
    window: MainWindow | None = None
    module: str = ""
    """Which tests had it last."""
    fresh: Sequence[object] = ()
    """What :func:`state_of` told of it with the ride just opened."""
    shown: tuple[object, ...] = ()
    """What :func:`_on_screen` told then."""


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shared]:
    made = Shared(tmp_path_factory.mktemp("home"))
    yield made
    if made.window is not None:
        put_away(made.window)


@pytest.fixture
def ride(
    shared: Shared,
    qtbot: QtBot,
    ride_file: Path,
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> MainWindow:
    """The window of the run, showing a ride no test before has touched, with a band of 112-131.

    Where the test before only looked, what it looked at is put back. Where it changed anything a copy of the
    ride is opened, with blank lines of its own at the end: what is kept of a recording is found by its
    content, so notes, marks and titles stay with the ride of their test. The tests of another module get the
    window only if nothing tells it from a new one; else a new one is made.
    """
    use_home(shared.home, monkeypatch)
    if shared.window is not None:
        give_back(shared, shared.window, qtbot, ride_file)
        if shared.module != request.module.__name__ and state_of(shared.window) != shared.fresh:
            put_away(shared.window)
            shared.window = None
    if shared.window is None:
        shared.window = new_window()
        open_ride(shared.window, qtbot, own_copy(shared, ride_file))
        shared.shown, shared.fresh = _on_screen(shared.window), state_of(shared.window)
    shared.module = request.module.__name__
    return shared.window


def own_copy(shared: Shared, ride_file: Path) -> Path:
    """The ride as a file nothing is kept of."""
    shared.opened += 1
    copy = shared.home / f"ride {shared.opened}" / ride_file.name
    copy.parent.mkdir()
    copy.write_bytes(ride_file.read_bytes() + b"\n" * shared.opened)
    return copy


def give_back(shared: Shared, window: MainWindow, qtbot: QtBot, ride_file: Path) -> None:
    """Bring the window of the run to where it was when the ride was opened."""
    session = window.session
    untouched = _on_screen(window) == shared.shown and session.background.idle and session.keeping.idle
    if session.display.preferences != Preferences():
        session.display.choose(Preferences())
        # Units were put back before, behind its back.
        session.display.changed.emit()
    _put_back(window)
    if untouched:
        # What an outing that is opened says to all that show one; the review of this one is drawn already.
        session.outing.chosen.emit()
        session.outing.replaced.emit()
        window.stack.setCurrentWidget(window.page)
        wait_drawn(session, qtbot)
    if not untouched or state_of(window) != shared.fresh:
        before = session.outing.recordings
        window.setUpdatesEnabled(False)  # Painted once, at the end.
        window.open([own_copy(shared, ride_file)])
        qtbot.waitUntil(
            lambda: session.outing.recordings is not before and session.background.idle, timeout=WAIT_MS
        )
        wait_drawn(session, qtbot)
        window.setUpdatesEnabled(True)
        # At once: what was asked to be painted meanwhile would otherwise never be painted again.
        window.repaint()
    shared.shown = _on_screen(window)


def _on_screen(window: MainWindow) -> tuple[object, ...]:
    """What another act, entry or opening would replace: told by identity, as all of it is never changed."""
    session = window.session
    held = tuple(id(each.book) for each in session.keeping._held)
    return (
        *(id(session.outing.review), id(session.outing.recordings), held),
        *(session.outing.notes, session.outing.marks, session.aim.entered),
        *(session.display.preferences, id(session.backdrop.behind)),
        *(session.history.undo_words, session.history.redo_words),
    )


def _put_back(window: MainWindow) -> None:
    """What no other recording puts back: size, tab, band, what a drag does, what the charts show."""
    session, page = window.session, window.page
    window.resize(*SIZE_PX)
    window.notice.hide()
    window.activateWindow()
    session.aim.end_trying()
    wanted = replace(Entered(), choice=BAND)
    if session.aim.entered != wanted:
        session.aim.enter(wanted)
    session.charts.set_along(Along.TIME)
    session.charts.set_rate(Rate.SPEED)
    page.charts.notes.mode.choose(DragMode.LOOK)
    page.notes.card.throw_away()
    page.tabs.setCurrentIndex(0)
