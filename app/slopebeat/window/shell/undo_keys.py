"""Undo and redo keys inside number boxes."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractSpinBox, QDoubleSpinBox, QSpinBox

KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)


def is_edited(box: QSpinBox | QDoubleSpinBox) -> bool:
    """Whether something is typed that has not become the value yet."""
    if box.specialValueText() and box.value() == box.minimum():
        return box.text() != box.specialValueText()
    words = box.textFromValue(box.value())  # type: ignore[arg-type]
    return box.text() != f"{box.prefix()}{words}{box.suffix()}"


class UndoKeys(QObject):
    """A number box keeps these keys for its own text. Once its value is taken they are the window's."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() is not QEvent.Type.ShortcutOverride:
            return False
        typed = any(event.matches(key) for key in KEYS)
        if not typed or not isinstance(watched, QSpinBox | QDoubleSpinBox) or is_edited(watched):
            return False
        event.ignore()
        return True

    def watch(self, *boxes: QAbstractSpinBox) -> None:
        for box in boxes:
            box.installEventFilter(self)
