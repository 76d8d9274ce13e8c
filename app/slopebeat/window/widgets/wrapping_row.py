"""Widgets side by side that go on in the next line where there is no room."""

from __future__ import annotations

from PySide6.QtCore import QMargins, QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class WrappingRow(QLayout):
    """As wide as it is given, as high as that needs; never needs more than its widest widget."""

    def __init__(self, *widgets: QWidget, spacing: int = 8, line_spacing: int = 2) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self._line_spacing = line_spacing
        self._heights: dict[int, int] = {}
        self._hint: QSize | None = None
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(spacing)
        for widget in widgets:
            self.addWidget(widget)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def invalidate(self) -> None:
        """What lies in it has changed: what was worked out of its size is forgotten."""
        self._heights.clear()
        self._hint = None
        super().invalidate()

    def heightForWidth(self, width: int) -> int:
        # The layouts around it ask dozens of times for one change of a word.
        if width not in self._heights:
            self._heights[width] = self._place(QRect(0, 0, width, 0), move=False)
        return self._heights[width]

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._place(rect, move=True)

    def sizeHint(self) -> QSize:
        """The size of all facts in one line."""
        if self._hint is None:
            sizes = [item.sizeHint() for item in self._items]
            width = sum(size.width() for size in sizes) + self.spacing() * max(len(sizes) - 1, 0)
            self._hint = self._around(QSize(width, max((size.height() for size in sizes), default=0)))
        return self._hint

    def minimumSize(self) -> QSize:
        least = QSize()
        for item in self._items:
            least = least.expandedTo(item.minimumSize())
        return self._around(least)

    def _around(self, size: QSize) -> QSize:
        margins: QMargins = self.contentsMargins()
        return size + QSize(margins.left() + margins.right(), margins.top() + margins.bottom())

    def _place(self, rect: QRect, move: bool) -> int:
        """Lay the facts out line by line and return the height they take."""
        margins = self.contentsMargins()
        inside = rect.marginsRemoved(margins)
        x, y, line = inside.left(), inside.top(), 0
        for item in self._items:
            size = item.sizeHint()
            if x > inside.left() and x + size.width() > inside.right() + 1:
                x, y, line = inside.left(), y + line + self._line_spacing, 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), size))
            x += size.width() + self.spacing()
            line = max(line, size.height())
        return y + line - rect.top() + margins.bottom()
