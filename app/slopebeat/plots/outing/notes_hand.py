"""What the mouse does on the charts: move them, write a note, doubt the heart rate, or measure a stretch."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QObject, Qt, Signal

from slopebeat.model.language import mark


class Hand(StrEnum):
    """What a drag on the charts does."""

    LOOK = mark("Look")
    NOTE = mark("Note")
    DOUBT = mark("Doubt")
    MEASURE = mark("Measure")


KEYS_OF = {
    Hand.MEASURE: Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    Hand.NOTE: Qt.KeyboardModifier.ControlModifier,
    Hand.DOUBT: Qt.KeyboardModifier.ShiftModifier,
}
"""Held during a drag, keys do for once what the choice does for good; two keys go before one of them."""


class HandChoice(QObject):
    """The choice in force."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.hand = Hand.LOOK

    def choose(self, hand: Hand) -> None:
        """Let the mouse do this from now on."""
        if hand is not self.hand:
            self.hand = hand
            self.changed.emit()

    def of(self, modifiers: Qt.KeyboardModifier) -> Hand:
        """What a drag with these keys held does."""
        for hand, key in KEYS_OF.items():
            if modifiers & key == key:
                return hand
        return self.hand
