"""The choice above the charts of what a drag does."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.plots.notes_hand import Hand, HandChoice
from slopebeat.window.parts import button, label

TIPS = {
    Hand.LOOK: mark("Dragging moves the charts"),
    Hand.NOTE: mark("Dragging marks a stretch for a note, a click a moment (with Ctrl held, for once)"),
    Hand.DOUBT: mark("Dragging marks doubtful heart rate (with Shift held, for once)"),
}


class HandSwitch(QWidget):
    """One button per hand; the one in force is pressed."""

    def __init__(self, choice: HandChoice, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._choice = choice
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(label(tr("Drag to") + "  ", "caption"))
        group = QButtonGroup(self)
        self.buttons: dict[Hand, QPushButton] = {}
        for hand in Hand:
            one = button(tr(hand), "segment", tr(TIPS[hand]))
            one.setCheckable(True)
            one.clicked.connect(partial(self._choose, hand))
            group.addButton(one)
            layout.addWidget(one)
            self.buttons[hand] = one
        choice.changed.connect(self._show)
        self._show()

    def _choose(self, hand: Hand, _checked: bool = True) -> None:
        self._choice.choose(hand)

    def _show(self) -> None:
        self.buttons[self._choice.hand].setChecked(True)
