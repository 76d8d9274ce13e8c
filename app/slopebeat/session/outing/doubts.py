"""The user's decisions on doubted stretches of the outing on screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.model.language import tr
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.session.undo import Change, History

if TYPE_CHECKING:
    from slopebeat.session.outing.outing import OpenOuting

SHORTEST_S = 1.0
"""A shorter stretch is a slip of the hand [project choice]."""

Marks = tuple[Mark, ...]


def is_same(one: Mark, other: Mark) -> bool:
    """Whether two marks doubt the same for the same reason, whatever was decided."""
    return replace(one, state=other.state) == other


def decided(marks: Marks, mark: Mark, state: MarkState) -> Marks:
    """The marks with a decision on one of them."""
    return tuple(replace(m, state=state) if is_same(m, mark) else m for m in marks)


def added(marks: Marks, start_s: float, end_s: float) -> Marks:
    """The marks with a stretch of heart rate doubted by hand, in order of time."""
    mark = Mark(start_s, end_s, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    if any(is_same(m, mark) for m in marks):
        return marks
    return tuple(sorted((*marks, mark), key=lambda m: (m.start_s, m.channel)))


def removed(marks: Marks, mark: Mark) -> Marks:
    """The marks without one that was made by hand; what cleaning proposed is rejected, never lost."""
    return tuple(m for m in marks if not (is_same(m, mark) and m.reason is Reason.BY_HAND))


class Doubts(QObject):
    """Accepts, rejects, adds and removes marks, each as one act that can be undone.

    ``draft_s`` is where a stretch was started that waits for its end.
    """

    draft_changed = Signal()

    def __init__(self, outing: OpenOuting, history: History, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._outing = outing
        self._history = history
        self.draft_s: float | None = None
        outing.chosen.connect(self.drop_draft)

    def accept(self, mark: Mark) -> None:
        """Leave the stretch out for good."""
        self._decide(mark, MarkState.ACCEPTED, tr("acceptance of a doubt"))

    def reject(self, mark: Mark) -> None:
        """Use the stretch after all."""
        self._decide(mark, MarkState.REJECTED, tr("rejection of a doubt"))

    def remove(self, mark: Mark) -> None:
        """Take back a stretch that was marked by hand."""
        self._change(lambda marks: removed(marks, mark), tr("removal of a mark"))

    def add(self, start_s: float, end_s: float) -> None:
        """Doubt the heart rate of a stretch, whichever end is named first."""
        first, last = max(min(start_s, end_s), 0.0), max(start_s, end_s)
        if last - first >= SHORTEST_S:
            self._change(lambda marks: added(marks, first, last), tr("mark by hand"))

    def begin(self, t_s: float) -> None:
        """A doubtful stretch begins here."""
        self._set_draft(t_s)

    def end(self, t_s: float) -> None:
        """It ends here; without a beginning nothing happens."""
        if self.draft_s is not None:
            start_s = self.draft_s
            self._set_draft(None)
            self.add(start_s, t_s)

    def drop_draft(self) -> None:
        self._set_draft(None)

    def _set_draft(self, t_s: float | None) -> None:
        if t_s != self.draft_s:
            self.draft_s = t_s
            self.draft_changed.emit()

    def _decide(self, mark: Mark, state: MarkState, words: str) -> None:
        self._change(lambda marks: decided(marks, mark, state), words)

    def _change(self, change: Callable[[Marks], Marks], words: str) -> None:
        marks = self._outing.marks_now()
        if marks is None:
            return
        fresh = change(marks)
        if fresh != marks:
            self._history.do(Change(words, self._outing.marks, fresh, self._outing.set_marks))
