"""A card laid over the page for as long as it is looked at."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from slopebeat.window.widgets.parts import GrowingPage, scroll_down, stacked

RIM_PX, BORDER_PX = 2, 1
"""Around what a card over the page holds, and the line the sheet draws about it [project choice]."""


class Popup(QFrame):
    """A card over the page until Escape or a click elsewhere; in a low window it scrolls."""

    def __init__(self, window: QWidget, name: str) -> None:
        super().__init__(window)
        self.setObjectName("card")
        self.setAccessibleName(name)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        page = GrowingPage()
        self.column = stacked(of=page, margins=(14, 10, 14, 10), spacing=6)
        self.area = scroll_down(QScrollArea(), inside=page)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        # The card itself keeps the keyboard, and closes when it loses it.
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        stacked(self.area, of=self, margins=(RIM_PX, RIM_PX, RIM_PX, RIM_PX))

    def cover_widget(self, widget: QWidget) -> None:
        """Cover this widget, as wide as it and as high as the words need."""
        place, window = widget.mapTo(self.window(), QPoint()), self.window()
        rim = 2 * (RIM_PX + BORDER_PX)
        least = self.column.totalHeightForWidth(widget.width() - rim) + rim
        height = min(max(least, widget.height()), window.height() - place.y())
        self.setGeometry(place.x(), place.y(), widget.width(), height)
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.PopupFocusReason)

    def event(self, event: QEvent) -> bool:
        """Escape closes, whatever act the window has on this key."""
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            event.accept()
            if event.type() is QEvent.Type.KeyPress:
                self.close()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrows and the page keys scroll."""
        by = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: 10, Qt.Key.Key_PageUp: -10}
        bar, steps = self.area.verticalScrollBar(), by.get(Qt.Key(event.key()), 0)
        bar.setValue(bar.value() + steps * bar.singleStep())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.ActiveWindowFocusReason:
            self.close()
