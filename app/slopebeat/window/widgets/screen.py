"""What a window or a dialog may take of the screen it opens on."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

TITLE_PX = 36
"""Kept free for the title bar, whose height is known only once it is shown [project choice]."""


def room_px(widget: QWidget) -> QSize:
    """The size a window may have on its screen, without the title bar; the whole world without a screen."""
    screen = widget.screen()
    if screen is None:
        return QSize(1 << 20, 1 << 20)
    return screen.availableSize() - QSize(0, TITLE_PX)
