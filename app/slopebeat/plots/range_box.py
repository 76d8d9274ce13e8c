"""A view in which a stretch of x is chosen by dragging with Shift held."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import Qt, Signal


class RangeBox(pg.ViewBox):
    """Without Shift it drags as any view does.

    ``dragged`` gives both ends while the drag goes on, ``chosen`` once it has ended.
    """

    dragged = Signal(float, float)
    chosen = Signal(float, float)

    def mouseDragEvent(
        self, ev: pg.GraphicsScene.mouseEvents.MouseDragEvent, axis: int | None = None
    ) -> None:
        shift = bool(ev.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if not shift or ev.button() is not Qt.MouseButton.LeftButton:
            super().mouseDragEvent(ev, axis)
            return
        ev.accept()
        start, end = (self.mapToView(place).x() for place in (ev.buttonDownPos(), ev.pos()))
        (self.chosen if ev.isFinish() else self.dragged).emit(start, end)
