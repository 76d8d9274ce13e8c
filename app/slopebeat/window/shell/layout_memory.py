"""How the window was left, for the next start: size, shares, tab and what the charts showed."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QMainWindow

from slopebeat.session.session import Session
from slopebeat.session.settings import Layout

LEAST_PX = (960, 620)
"""No window is restored smaller: a screen may have been unplugged [project choice]."""


def layout_of(window: QMainWindow, page: Layout, session: Session) -> Layout:
    """What is to be remembered, the part of the page given. Maximised, a window keeps its size of before."""
    size = window.normalGeometry().size() if window.isMaximized() else window.size()
    return replace(
        page,
        window_px=(size.width(), size.height()),
        maximized=window.isMaximized(),
        along=session.charts.along,
        rate=session.charts.rate,
    )


def restore(layout: Layout, window: QMainWindow, session: Session) -> None:
    """Bring the window into this layout, no larger than the screen it is on."""
    if len(layout.window_px) == 2:
        size = QSize(*layout.window_px).expandedTo(QSize(*LEAST_PX))
        screen = window.screen()
        window.resize(size.boundedTo(screen.availableSize()) if screen is not None else size)
    if layout.maximized:
        window.setWindowState(window.windowState() | Qt.WindowState.WindowMaximized)
    session.charts.set_along(layout.along)
    session.charts.set_rate(layout.rate)
