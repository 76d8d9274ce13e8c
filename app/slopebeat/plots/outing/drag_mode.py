"""What the mouse does on the charts: move them, write a note, doubt the heart rate, or measure a stretch."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

import pyqtgraph as pg
from PySide6.QtCore import QObject, Qt, Signal

from slopebeat.model.language import mark


class DragMode(StrEnum):
    """What a drag on the charts does."""

    LOOK = "look"
    NOTE = "note"
    DOUBT = "doubt"
    MEASURE = "measure"


MODE_NAMES = {
    DragMode.LOOK: mark("Look"),
    DragMode.NOTE: mark("Note"),
    DragMode.DOUBT: mark("Doubt"),
    DragMode.MEASURE: mark("Measure"),
}
"""What each is called on screen."""

KEYS_OF = {
    DragMode.MEASURE: Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    DragMode.NOTE: Qt.KeyboardModifier.ControlModifier,
    DragMode.DOUBT: Qt.KeyboardModifier.ShiftModifier,
}
"""Held during a drag, keys do for once what the choice does for good; two keys go before one of them."""


class DragModeChoice(QObject):
    """The choice in force."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.mode = DragMode.LOOK

    def choose(self, mode: DragMode) -> None:
        """Let the mouse do this from now on."""
        if mode is not self.mode:
            self.mode = mode
            self.changed.emit()

    def of(self, modifiers: Qt.KeyboardModifier) -> DragMode:
        """What a drag with these keys held does."""
        for mode, key in KEYS_OF.items():
            if modifiers & key == key:
                return mode
        return self.mode


Chooser = Callable[[Qt.KeyboardModifier], DragMode]


def only_look(_modifiers: Qt.KeyboardModifier) -> DragMode:
    """Dragging moves the view."""
    return DragMode.LOOK


class RangeBox(pg.ViewBox):
    """Dragged to look it moves as any view does; what else a drag does, ``mode_of`` says from the keys held.

    ``dragged`` gives both ends while the drag goes on, ``chosen`` once it has ended, each with the mode.
    """

    dragged = Signal(float, float, object)
    chosen = Signal(float, float, object)

    def __init__(self) -> None:
        super().__init__(enableMenu=False)
        self.mode_of: Chooser = only_look
        self._dragging = DragMode.LOOK

    def mouseDragEvent(
        self, ev: pg.GraphicsScene.mouseEvents.MouseDragEvent, axis: int | None = None
    ) -> None:
        if ev.isStart():
            left = ev.button() is Qt.MouseButton.LeftButton
            # A key let go before the button does not change what the drag is for.
            self._dragging = self.mode_of(ev.modifiers()) if left else DragMode.LOOK
        if self._dragging is DragMode.LOOK:
            super().mouseDragEvent(ev, axis)
            return
        ev.accept()
        start, end = (self.mapToView(place).x() for place in (ev.buttonDownPos(), ev.pos()))
        (self.chosen if ev.isFinish() else self.dragged).emit(start, end, self._dragging)
