"""Where messages and progress appear: one row over the foot of the page, which moves nothing under it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QHBoxLayout, QWidget

SIDE_PX, FOOT_PX = 12, 10
"""Room left beside and under the row [project choice]."""


class MessageArea(QWidget):
    """Holds bars side by side; those that have nothing to say take no room, and so does the row."""

    def __init__(self, page: QWidget, *bars: QWidget) -> None:
        super().__init__(page)
        self._page, self._bars = page, bars
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        for bar in bars:
            # The page shows through between their rounded corners, never through themselves.
            bar.setAutoFillBackground(True)
            layout.addWidget(bar, 1)
            bar.installEventFilter(self)
        page.installEventFilter(self)
        # Bars that come and go within one turn of the event loop move the row once.
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self.place)
        self.hide()

    def place(self) -> None:
        """Lie along the foot of the page, as high as the words need; hidden while nothing is said."""
        said = any(not bar.isHidden() for bar in self._bars)
        self.setVisible(said)
        if not said:
            return
        width = max(self._page.width() - 2 * SIDE_PX, 1)
        layout = self.layout()
        assert layout is not None
        height = layout.totalHeightForWidth(width) if layout.hasHeightForWidth() else self.sizeHint().height()
        self.setGeometry(SIDE_PX, self._page.height() - height - FOOT_PX, width, height)
        self.raise_()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (
            QEvent.Type.Show,
            QEvent.Type.Hide,
            QEvent.Type.ShowToParent,
            QEvent.Type.HideToParent,
            QEvent.Type.Resize,
            QEvent.Type.LayoutRequest,
        ):
            if watched is self._page or event.type() is not QEvent.Type.Resize:
                self._soon.start(0)
            if event.type() is QEvent.Type.ShowToParent and self.isHidden():
                self.place()
        return False
