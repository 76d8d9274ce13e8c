"""Qt for reports: an application that needs no display."""

from __future__ import annotations

import os
import sys

from PySide6.QtGui import QGuiApplication

_kept: list[QGuiApplication] = []


def application() -> QGuiApplication:
    """The running application, or one that opens no window and needs no display.

    Fonts need an application. Off screen it runs on a machine without a display too; on Windows and macOS
    there always is one, and only its own platform knows the fonts there.
    """
    running = QGuiApplication.instance()
    if isinstance(running, QGuiApplication):
        return running
    if sys.platform not in ("win32", "darwin"):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    _kept.append(QGuiApplication(["slopebeat"]))
    return _kept[0]
