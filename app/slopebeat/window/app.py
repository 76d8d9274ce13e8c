"""Start the program with its window."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from pathlib import Path

import shiboken6
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from slopebeat.session.session import Session
from slopebeat.window.crash import ExceptHook
from slopebeat.window.main_window import MainWindow

SWITCH_INTERVAL_S = 0.001
"""How long a reading thread keeps the interpreter while the window waits for it. The default of 5 ms
adds up over the many calls of one repaint [project choice]."""


def open_window(paths: Sequence[Path], demo: bool = False) -> MainWindow:
    """A window on a session of its own that starts to read these files, or the demo."""
    window = MainWindow(Session())
    window.show()
    if demo:
        window.open_demo()
        # The library is built once an outing is on screen: both at a time would make that one late.
        once = Qt.ConnectionType.SingleShotConnection
        window.session.outing.reviewed.connect(window.desk.add_demo_library, once)
    else:
        window.desk.start()
        window.open(paths)
    return window


def run(paths: Sequence[Path], demo: bool = False) -> int:
    """Open the window, with these files if there are any, and stay until it is closed."""
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    app = QApplication(sys.argv[:1])
    app.setApplicationName("slopebeat")
    app.setApplicationDisplayName("Slopebeat")
    ExceptHook().install()
    window = open_window(paths, demo)
    # What is loaded by now stays: walking over it again and again would stop the window for 80 ms.
    gc.freeze()
    status = app.exec()
    # Before the application goes: what Python would collect after it may no longer be touched.
    window.session.close()
    shiboken6.delete(window)
    return status
