"""Start the program with its window."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path

import shiboken6
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from slopebeat.session.background import when_loaded
from slopebeat.session.ended import RunningNote
from slopebeat.session.garbage import WindowThreadGarbage
from slopebeat.session.session import Session
from slopebeat.window.library.controller import PAGE
from slopebeat.window.shell.crash import ExceptHook, NativeFaults
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.qt_texts import use_qt_texts

SWITCH_INTERVAL_S = 0.001
"""How long a reading thread keeps the interpreter while the window waits for it. The default of 5 ms
adds up over the many calls of one repaint [project choice]."""

OF_THE_PAGE = ("slopebeat.window.shell.outing_page",)
"""What the page of an outing is made of, with the library that draws: loaded once the window is there."""

LOADED_BEHIND = (
    "slopebeat.files.reading",
    "slopebeat.files.fit.fit_recording",
    "slopebeat.files.xml.gpx",
    "slopebeat.files.xml.tcx",
    "slopebeat.review.stages",
    "slopebeat.review.notes.keeping",
    "fitparse.profile",
    *PAGE,
    "slopebeat.plots.months.series",
    "slopebeat.plots.months.weeks",
    "slopebeat.window.library.compare",
    "slopebeat.window.library.band.dialog",
    "slopebeat.window.shell.preferences_page",
    "slopebeat.report.report",
    "scipy.special",
    "scipy.optimize",
)
"""What the other pages, the first outing and the months need: loaded after that."""


def load_behind(window: MainWindow) -> None:
    """Load and make behind the window what is wanted next, without stopping it."""
    background = window.session.background

    def loaded() -> None:
        gc.freeze()
        window.library.parts.make_soon()

    def go_on() -> None:
        window.page_loader.parts.make_soon()
        when_loaded(background, LOADED_BEHIND, loaded)

    window.page_loader.parts.coming = True
    window.page_loader.whole.connect(gc.freeze)
    when_loaded(background, OF_THE_PAGE, go_on)


def open_window(paths: Sequence[Path], demo: bool = False) -> MainWindow:
    """A window on a session of its own that starts to read these files, or the demo."""
    session = Session()
    problem = session.display.begin()
    app = QApplication.instance()
    assert app is not None
    # Names of keys are read as buttons and hovers are made.
    use_qt_texts(app)
    window = MainWindow(session)
    window.show()
    if problem:
        window.notice.say(problem)
    if demo:
        window.open_demo()
        # The library is built once an outing is drawn: both at a time would make that one late.
        once, steps = Qt.ConnectionType.SingleShotConnection, window.session.steps
        add = partial(steps.later, window.session.library.open_demo)
        window.session.outing.reviewed.connect(lambda: steps.later(add), once)
    else:
        window.library.start()
        window.open(paths)
    return window


def run(paths: Sequence[Path], demo: bool = False) -> int:
    """Open the window, with these files if there are any, and stay until it is closed."""
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    garbage = WindowThreadGarbage()
    garbage.keep_here()
    app = QApplication(sys.argv[:1])
    app.setApplicationName("slopebeat")
    app.setApplicationDisplayName("Slopebeat")
    # Under Wayland a window finds its icon by the name of its menu entry.
    app.setDesktopFileName("slopebeat")
    ExceptHook().install()
    faults = NativeFaults()
    faults.begin()
    window = open_window(paths, demo)
    running = RunningNote(window.session)
    window.crash_offer.offer(running.begin())
    # What is loaded by now stays: walking over it again and again would stop the window for 80 ms.
    gc.freeze()
    garbage.collect_now_and_then()
    load_behind(window)
    status = app.exec()
    running.end()
    faults.end()
    # Before the application goes: what Python would collect after it may no longer be touched.
    window.session.close()
    shiboken6.delete(window)
    return status
