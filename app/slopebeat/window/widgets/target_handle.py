"""The target on the bar of the time account, to be taken by mouse and moved by keys."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.model.units import duration
from slopebeat.plots.theme import theme

STEP_S, FAR_STEP_S = 60.0, 300.0
"""Whole minutes are what is prescribed; a key for a page moves by five [project choice]."""

LEAST_S, MOST_S = 60.0, 36_000.0
"""Targets that can be entered [project choice]."""

WIDTH_PX, FOOT_PX = 13, 6
"""Room to take it by, and how far its foot stands out under the bar [project choice]."""

BY_KEY = {
    Qt.Key.Key_Left: -STEP_S,
    Qt.Key.Key_Down: -STEP_S,
    Qt.Key.Key_Right: STEP_S,
    Qt.Key.Key_Up: STEP_S,
    Qt.Key.Key_PageDown: -FAR_STEP_S,
    Qt.Key.Key_PageUp: FAR_STEP_S,
}


class TargetHandle(QWidget):
    """A line over the bar where its time in band, which begins at the left end, would reach the target.

    A target longer than the bar stands at its right end with an arrow. ``moved`` tells the target in seconds
    while it is under the hand or a key is held, ``released`` that the move has ended.
    """

    moved = Signal(float)
    released = Signal()

    def __init__(self, bar: QWidget, parent: QWidget) -> None:
        super().__init__(parent)
        self._bar = bar
        self._target_s, self._span_s = LEAST_S, 0.0
        self._grasp: tuple[float, float] | None = None
        self._by_keys = False
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setToolTip(tr("The target for the time in band: drag it, or move it with the arrow keys."))

    def show_target(self, target_s: float, span_s: float) -> None:
        """Stand at this target on a bar of so many seconds."""
        if (target_s, span_s) == (self._target_s, self._span_s):
            return
        self._target_s, self._span_s = target_s, span_s
        self.place()

    def place(self) -> None:
        """Stand where the target is on the bar as wide as it is now."""
        self.setAccessibleName(tr("Target in band {time}").format(time=duration(self._target_s)))
        bar = self._bar.geometry()
        self.setVisible(self._span_s > 0.0)
        share = min(self._target_s / self._span_s, 1.0) if self._span_s > 0.0 else 0.0
        x = bar.left() + round(share * (bar.width() - 1)) - WIDTH_PX // 2
        # At the ends of the bar it stays inside, so that nothing of it is cut.
        x = min(max(x, bar.left()), bar.right() + 1 - WIDTH_PX)
        self.setGeometry(x, bar.top(), WIDTH_PX, bar.height() + FOOT_PX)
        self.raise_()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(WIDTH_PX, self._bar.height() + FOOT_PX)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            self._grasp = (event.globalPosition().x(), self._target_s)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._grasp is None:
            return
        from_x, from_s = self._grasp
        by_s = (event.globalPosition().x() - from_x) * self._span_s / max(self._bar.width() - 1, 1)
        self._move(from_s + by_s)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton and self._grasp is not None:
            self._grasp = None
            self.released.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step_s = BY_KEY.get(Qt.Key(event.key()))
        if step_s is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        self._by_keys = True
        self._move(self._target_s + step_s)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.isAutoRepeat() or not self._by_keys:
            super().keyReleaseEvent(event)
            return
        self._end_keys()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._end_keys()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = QColor(theme.colours.accent if self.hasFocus() or self._grasp else theme.colours.ink)
        middle, foot = self.width() / 2, float(self.height() - FOOT_PX)
        line = QRectF(middle - 1.5, 0.0, 3.0, foot)
        # A rim in the colour of the ground tells it from every part of the bar.
        painter.fillRect(line.adjusted(-1.5, 0.0, 1.5, 0.0), QColor(theme.colours.panel))
        painter.fillRect(line, ink)
        painter.setPen(QPen(QColor(theme.colours.panel), 1.0))
        painter.setBrush(ink)
        painter.drawPolygon(self._mark(middle, foot))
        painter.end()

    def _mark(self, middle: float, foot: float) -> QPolygonF:
        """A foot under the bar, or an arrow over it to what lies beyond its end."""
        if self._target_s <= self._span_s:
            low = foot + FOOT_PX
            return QPolygonF([QPointF(middle, foot - 4), QPointF(middle + 6, low), QPointF(middle - 6, low)])
        half = foot / 2
        tip = float(self.width())
        return QPolygonF([QPointF(tip, half), QPointF(middle, half - 6), QPointF(middle, half + 6)])

    def _move(self, wanted_s: float) -> None:
        target_s = min(max(STEP_S * round(wanted_s / STEP_S), LEAST_S), MOST_S)
        if target_s != self._target_s:
            self._target_s = target_s
            self.place()
            self.moved.emit(target_s)

    def _end_keys(self) -> None:
        if self._by_keys:
            self._by_keys = False
            self.released.emit()
