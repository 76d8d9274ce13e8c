"""A splitter whose handle shows where to take hold of it."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QSplitter, QSplitterHandle, QWidget

from slopebeat.model.language import tr

HANDLE_PX = 10
GRIP_PX = (36, 3)


class Handle(QSplitterHandle):
    """A short rounded bar in the middle."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = self.palette().color(QPalette.ColorRole.WindowText)
        ink.setAlphaF(0.55 if self.underMouse() else 0.22)
        painter.setBrush(ink)
        painter.setPen(Qt.PenStyle.NoPen)
        long, thin = GRIP_PX
        width, height = (long, thin) if self.orientation() is Qt.Orientation.Vertical else (thin, long)
        grip = QRectF(0, 0, width, height)
        grip.moveCenter(QRectF(self.rect()).center())
        painter.drawRoundedRect(grip, 1.5, 1.5)
        painter.end()


class Splitter(QSplitter):
    """Parts can be resized, none can be dragged away altogether."""

    def __init__(self, orientation: Qt.Orientation, parent: QWidget | None = None) -> None:
        super().__init__(orientation, parent)
        self.setHandleWidth(HANDLE_PX)
        self.setChildrenCollapsible(False)

    def createHandle(self) -> QSplitterHandle:
        handle = Handle(self.orientation(), self)
        handle.setToolTip(tr("Drag to share the room otherwise"))
        handle.setAccessibleName(tr("Drag to share the room otherwise"))
        return handle
