"""A view in which a stretch of x is chosen by dragging."""

from __future__ import annotations

from collections.abc import Callable

import pyqtgraph as pg
from PySide6.QtCore import Qt, Signal

from slopebeat.plots.outing.notes_hand import Hand

Chooser = Callable[[Qt.KeyboardModifier], Hand]


def only_look(_modifiers: Qt.KeyboardModifier) -> Hand:
    """Dragging moves the view."""
    return Hand.LOOK


class RangeBox(pg.ViewBox):
    """Dragged to look it moves as any view does; what else a drag does, ``hand`` says from the keys held.

    ``dragged`` gives both ends while the drag goes on, ``chosen`` once it has ended, each with the hand.
    """

    dragged = Signal(float, float, object)
    chosen = Signal(float, float, object)

    def __init__(self) -> None:
        super().__init__()
        self.hand: Chooser = only_look
        self._dragging = Hand.LOOK

    def mouseDragEvent(
        self, ev: pg.GraphicsScene.mouseEvents.MouseDragEvent, axis: int | None = None
    ) -> None:
        if ev.isStart():
            left = ev.button() is Qt.MouseButton.LeftButton
            # A key let go before the button does not change what the drag is for.
            self._dragging = self.hand(ev.modifiers()) if left else Hand.LOOK
        if self._dragging is Hand.LOOK:
            super().mouseDragEvent(ev, axis)
            return
        ev.accept()
        start, end = (self.mapToView(place).x() for place in (ev.buttonDownPos(), ev.pos()))
        (self.chosen if ev.isFinish() else self.dragged).emit(start, end, self._dragging)
