"""Undo and redo: one small act per thing the user did, which calls ordinary methods of the state."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Protocol

from PySide6.QtCore import QObject, Signal

from slopebeat.model.language import mark, tr
from slopebeat.model.marks import Mark
from slopebeat.session.outing.aim import AimState, Entered
from slopebeat.session.outing.outing import OpenOuting

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


AIM_WORDS = {
    "target_s": mark("change of the target"),
    "body_mass_kg": mark("change of the body mass"),
    "load_kg": mark("change of the load"),
    "bike_mass_kg": mark("change of the bike mass"),
    "load_until_s": mark("change of the time the load was set down"),
    "drift_threshold_percent": mark("change of the drift threshold"),
}


@dataclass(frozen=True)
class AimAct:
    """Other entries for the aim."""

    aim: AimState
    before: Entered
    after: Entered

    @property
    def words(self) -> str:
        if self.before.choice != self.after.choice:
            return tr("change of the band")
        for field in fields(self.after.rest):
            if getattr(self.before.rest, field.name) != getattr(self.after.rest, field.name):
                return tr(AIM_WORDS.get(field.name, "change of the aim"))
        return tr("change of the aim")

    def do(self) -> None:
        self.aim.enter(self.after)

    def undo(self) -> None:
        self.aim.enter(self.before)


@dataclass(frozen=True)
class TitleAct:
    """Another title for the recording on screen."""

    outing: OpenOuting
    before: str
    after: str

    @property
    def words(self) -> str:
        return tr("change of the title")

    def do(self) -> None:
        self.outing.set_title(self.after)

    def undo(self) -> None:
        self.outing.set_title(self.before)


@dataclass(frozen=True)
class MarksAct:
    """Other decisions on doubted stretches; None where nothing had been decided yet."""

    outing: OpenOuting
    before: tuple[Mark, ...] | None
    after: tuple[Mark, ...] | None
    words: str

    def do(self) -> None:
        self.outing.set_marks(self.after)

    def undo(self) -> None:
        self.outing.set_marks(self.before)
