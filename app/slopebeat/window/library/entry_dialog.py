"""A dialog that stays open until what was entered is kept: a refusal loses nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtWidgets import QWidget

from slopebeat.window.widgets.parts import label, save_or_cancel
from slopebeat.window.widgets.scrolling_dialog import ScrollingDialog

T = TypeVar("T")

Keep = Callable[[T, Callable[[], None], Callable[[str], None]], None]
"""Takes what was entered, what to do once it is kept, and what to do with the sentence that refuses it."""


class EntryDialog(ScrollingDialog):
    """Saves with ``keep``; meanwhile it can neither be saved again nor left."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._waiting = False
        self.problem = label("", "problem", wrap=True)
        self.buttons = save_or_cancel()
        self.buttons.accepted.connect(self.save)
        self.buttons.rejected.connect(self.reject)
        self.foot.addWidget(self.problem)
        self.foot.addWidget(self.buttons)

    def save(self) -> None:
        """Keep what was entered, with :meth:`keep_entry`."""
        raise NotImplementedError

    def keep_entry(self, keep: Keep[T], entry: T) -> None:
        """Ask for this to be kept, and close once it is."""
        self._wait(True)
        keep(entry, self._kept, self._refused)

    def reject(self) -> None:
        """Stay while what was entered is being kept: it may still be refused, and would be lost."""
        if not self._waiting:
            super().reject()

    def _kept(self) -> None:
        self._wait(False)
        self.accept()

    def _refused(self, sentence: str) -> None:
        self._wait(False)
        self.problem.setText(sentence)
        self.problem.show()

    def _wait(self, waiting: bool) -> None:
        self._waiting = waiting
        self.buttons.setEnabled(not waiting)
