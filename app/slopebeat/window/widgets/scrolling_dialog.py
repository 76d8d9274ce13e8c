"""A dialog that is never higher than the screen: its content scrolls, its buttons are always seen."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QDialog, QScrollArea, QVBoxLayout, QWidget

from slopebeat.window.widgets.parts import GrowingPage
from slopebeat.window.widgets.screen import room_px

SIDE_PX, HEAD_PX, FOOT_PX = 20, 18, 14
"""Around the content [project choice]."""


class ScrollingDialog(QDialog):
    """Subclasses fill ``content``, which scrolls, and ``foot``, which does not."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.usual_px = QSize()
        self._page = GrowingPage()
        self.content = QVBoxLayout(self._page)
        self.content.setContentsMargins(SIDE_PX, HEAD_PX, SIDE_PX, 0)
        self.content.setSpacing(8)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidget(self._page)
        self.foot = QVBoxLayout()
        self.foot.setContentsMargins(SIDE_PX, 0, SIDE_PX, FOOT_PX)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(12)
        whole.addWidget(self.area, 1)
        whole.addLayout(self.foot)

    def sizeHint(self) -> QSize:
        """As large as the content wants to be, or as the dialog is usually; no larger than the screen."""
        bar_px = self.area.verticalScrollBar().sizeHint().width()
        least_px = max(self.minimumWidth(), self.content.minimumSize().width() + bar_px)
        width = max(self.usual_px.width(), self.content.sizeHint().width() + bar_px, least_px)
        width = min(width, room_px(self).width())
        inside_px = self.content.sizeHint().height()
        if self.content.hasHeightForWidth():
            inside_px = self.content.totalHeightForWidth(width - bar_px)
        layout = self.layout()
        assert layout is not None
        height = inside_px + layout.spacing() + self.foot.sizeHint().height()
        return QSize(width, max(height, self.usual_px.height())).boundedTo(room_px(self))

    def showEvent(self, event: QShowEvent) -> None:
        """Open in the size that was asked for, on the screen it opens on."""
        self.area.setMinimumWidth(
            self.content.minimumSize().width() + self.area.verticalScrollBar().sizeHint().width()
        )
        self.resize(self.sizeHint())
        self.area.setAccessibleName(self.windowTitle())
        super().showEvent(event)
