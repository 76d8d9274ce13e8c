"""Undo and redo: one small act per thing the user did, which calls ordinary methods of the state."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from PySide6.QtCore import QObject, Signal

T = TypeVar("T")

MOST_ACTS = 200
"""Acts kept; the oldest are forgotten [project choice]."""


class Act(Protocol):
    """Something done that can be taken back; ``words`` completes "Undo …"."""

    @property
    def words(self) -> str: ...

    def do(self) -> None: ...

    def undo(self) -> None: ...


@dataclass(frozen=True)
class Change(Generic[T]):
    """An act that puts something else in the place of what was there."""

    words: str
    before: T
    after: T
    put: Callable[[T], object]

    def do(self) -> None:
        self.put(self.after)

    def undo(self) -> None:
        self.put(self.before)


class History(QObject):
    """The acts that can be taken back: those on the outing on screen, and those on the library, which last.

    Both stand in one row, so that the latest is taken back first wherever it was done.
    """

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._done: list[tuple[Act, bool]] = []
        self._undone: list[tuple[Act, bool]] = []

    @property
    def undo_words(self) -> str | None:
        """What would be undone; None when there is nothing."""
        return self._done[-1][0].words if self._done else None

    @property
    def redo_words(self) -> str | None:
        return self._undone[-1][0].words if self._undone else None

    def do(self, act: Act, lasts: bool = False) -> None:
        """Do something new; what was taken back before can no longer be redone.

        ``lasts`` where it is none of the outing's: it can be taken back when another one is looked at.
        """
        self._done.append((act, lasts))
        del self._done[:-MOST_ACTS]
        self._undone.clear()
        act.do()
        self.changed.emit()

    def undo(self) -> None:
        if self._done:
            entry = self._done.pop()
            self._undone.append(entry)
            entry[0].undo()
            self.changed.emit()

    def redo(self) -> None:
        if self._undone:
            entry = self._undone.pop()
            self._done.append(entry)
            entry[0].do()
            self.changed.emit()

    def forget(self, act: Act) -> None:
        """An act that was refused after all: there is nothing to take back."""
        self._keep(lambda entry: entry[0] is not act)

    def clear(self) -> None:
        """Forget what was done on the outing: another one is looked at."""
        self._keep(lambda entry: entry[1])

    def clear_lasting(self) -> None:
        """Forget what was done on the library: another one is open."""
        self._keep(lambda entry: not entry[1])

    def _keep(self, wanted: Callable[[tuple[Act, bool]], bool]) -> None:
        self._done = [entry for entry in self._done if wanted(entry)]
        self._undone = [entry for entry in self._undone if wanted(entry)]
        self.changed.emit()
