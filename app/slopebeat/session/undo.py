"""Undo and redo: one small act per thing the user did, which calls ordinary methods of the state."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QObject, Signal

MOST_ACTS = 200
"""Acts kept; the oldest are forgotten [project choice]."""


class Act(Protocol):
    """Something done that can be taken back; ``words`` completes "Undo …"."""

    @property
    def words(self) -> str: ...

    def do(self) -> None: ...

    def undo(self) -> None: ...


class History(QObject):
    """The acts of one outing, those done and those taken back."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._done: list[Act] = []
        self._undone: list[Act] = []

    @property
    def undo_words(self) -> str | None:
        """What would be undone; None when there is nothing."""
        return self._done[-1].words if self._done else None

    @property
    def redo_words(self) -> str | None:
        return self._undone[-1].words if self._undone else None

    def do(self, act: Act) -> None:
        """Do something new; what was taken back before can no longer be redone."""
        self._done.append(act)
        del self._done[:-MOST_ACTS]
        self._undone.clear()
        act.do()
        self.changed.emit()

    def undo(self) -> None:
        if self._done:
            act = self._done.pop()
            self._undone.append(act)
            act.undo()
            self.changed.emit()

    def redo(self) -> None:
        if self._undone:
            act = self._undone.pop()
            self._done.append(act)
            act.do()
            self.changed.emit()

    def clear(self) -> None:
        """Forget everything: another outing is looked at."""
        self._done.clear()
        self._undone.clear()
        self.changed.emit()
