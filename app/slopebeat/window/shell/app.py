"""Start the program with its window."""

from __future__ import annotations

import gc
import importlib
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import shiboken6
from PySide6.QtCore import QLibraryInfo, Qt, QTranslator
from PySide6.QtWidgets import QApplication

from slopebeat.model.language import language
from slopebeat.session.ended import RunningNote
from slopebeat.session.session import Session
from slopebeat.window.shell.crash import ExceptHook, NativeFaults
from slopebeat.window.shell.main_window import MainWindow

SWITCH_INTERVAL_S = 0.001
"""How long a reading thread keeps the interpreter while the window waits for it. The default of 5 ms
adds up over the many calls of one repaint [project choice]."""

LOADED_BEHIND = ("fitparse.profile", "scipy.special", "scipy.optimize")
"""What the first outing and the months need and the window does not: loaded once the window is there."""


def load_behind(progress: Callable[[float], None]) -> None:
    """Load what the first outing needs, as work for the background."""
    for number, name in enumerate(LOADED_BEHIND):
        progress(number / len(LOADED_BEHIND))
        importlib.import_module(name)


def open_window(paths: Sequence[Path], demo: bool = False) -> MainWindow:
    """A window on a session of its own that starts to read these files, or the demo."""
    session = Session()
    problem = session.display.begin()
    window = MainWindow(session)
    window.show()
    if problem:
        window.notice.say(problem)
    if demo:
        window.open_demo()
        # The library is built once an outing is drawn: both at a time would make that one late.
        once, steps = Qt.ConnectionType.SingleShotConnection, window.session.steps
        window.session.outing.reviewed.connect(lambda: steps.later(window.desk.add_demo_library), once)
    else:
        window.desk.start()
        window.open(paths)
    return window


def _raise(error: Exception) -> None:
    raise error


def run(paths: Sequence[Path], demo: bool = False) -> int:
    """Open the window, with these files if there are any, and stay until it is closed."""
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    app = QApplication(sys.argv[:1])
    app.setApplicationName("slopebeat")
    app.setApplicationDisplayName("Slopebeat")
    # Under Wayland a window finds its icon by the name of its menu entry.
    app.setDesktopFileName("slopebeat")
    ExceptHook().install()
    faults = NativeFaults()
    faults.begin()
    qt_texts = QTranslator(app)
    window = open_window(paths, demo)
    running = RunningNote(window.session)
    window.crash_offer.offer(running.begin())
    # Qt's own dialogs and menus; without its texts they stay English.
    if qt_texts.load(f"qtbase_{language()}", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
        app.installTranslator(qt_texts)
    # What is loaded by now stays: walking over it again and again would stop the window for 80 ms.
    gc.freeze()
    window.session.background.run_in_background(load_behind, lambda _nothing: gc.freeze(), _raise)
    status = app.exec()
    running.end()
    faults.end()
    # Before the application goes: what Python would collect after it may no longer be touched.
    window.session.close()
    shiboken6.delete(window)
    return status
