"""What is looked at: the visible range, the cursor, the selected row and the choice of charts."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QObject, Signal

from slopebeat.model.message import KeyEnum

SHORTEST_VIEW_S = 20.0
"""The charts zoom in no further [project choice]."""

ROOM_AROUND = 0.15
"""Share of a selected stretch shown before and after it [project choice]."""


AROUND_S = 300.0
"""At least this much is shown of and around what is selected: what comes before and after a stretch of
seconds must be seen to judge it [project choice]."""


class VisibleRange(QObject):
    """The stretch of the outing the charts show, seconds from the first record; it goes to what is picked."""

    changed = Signal(float, float)

    def __init__(self, parent: QObject | None = None, selection: Selection | None = None) -> None:
        super().__init__(parent)
        self._selection = selection
        if selection is not None:
            selection.changed.connect(self._show_selection)
        self.full_s = 1.0
        self.start_s = 0.0
        self.end_s = 1.0

    def set_outing(self, span_s: float) -> None:
        """Start afresh on an outing of this length."""
        self.full_s = max(span_s, SHORTEST_VIEW_S)
        self.reset()

    def show(self, start_s: float, end_s: float) -> None:
        """Show this stretch, kept inside the outing and no shorter than the shortest view."""
        length = min(max(end_s - start_s, SHORTEST_VIEW_S), self.full_s)
        middle = (start_s + end_s) / 2
        start = min(max(middle - length / 2, 0.0), self.full_s - length)
        if (start, start + length) != (self.start_s, self.end_s):
            self.start_s, self.end_s = start, start + length
            self.changed.emit(self.start_s, self.end_s)

    def show_around(self, start_s: float, end_s: float) -> None:
        """Show a stretch with some room on both sides."""
        room = ROOM_AROUND * (end_s - start_s)
        self.show(start_s - room, end_s + room)

    def _show_selection(self) -> None:
        picked = self._selection
        if picked is not None and picked.kind is not None:
            more = max(AROUND_S - (picked.end_s - picked.start_s), 0.0) / 2
            self.show_around(picked.start_s - more, picked.end_s + more)

    def reset(self) -> None:
        self.start_s, self.end_s = 0.0, self.full_s
        self.changed.emit(self.start_s, self.end_s)

    def zoom(self, factor: float, about_s: float | None = None) -> None:
        """Scale the visible length by ``factor``; a point inside the view keeps its place."""
        middle = (self.start_s + self.end_s) / 2
        fixed = about_s if about_s is not None and self.start_s <= about_s <= self.end_s else middle
        self.show(fixed - factor * (fixed - self.start_s), fixed + factor * (self.end_s - fixed))

    def pan(self, share: float) -> None:
        """Move by a share of the visible length."""
        step = share * (self.end_s - self.start_s)
        self.show(self.start_s + step, self.end_s + step)


class Cursor(QObject):
    """The one moment all charts, the plan and the read-out point at; None when there is none."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.t_s: float | None = None

    def move(self, t_s: float | None) -> None:
        if t_s != self.t_s:
            self.t_s = t_s
            self.changed.emit()


class Picked(StrEnum):
    """What kind of row is selected."""

    CLIMB = "climb"
    EPISODE = "episode"
    MARK = "doubted stretch"
    NOTE = "note"
    SPLIT = "split"
    PART = "part of the account"
    CAUSE = "cause"


Ends = tuple[float, float]
"""Start and end of a stretch, in seconds of the outing."""


class Selection(QObject):
    """At most one thing: a climb, an episode, ... with the stretch it covers, or a part or a cause with many.

    Attributes
    ----------
    index : number of the row, or of the stretch that is shown of many; -1 for all of them.
    key : of the part or cause; "" for a row. stretches : all that it covers.
    start_s, end_s : of the stretch that is shown, or from the first to the last.
    """

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.kind: Picked | None = None
        self.index = -1
        self.key = ""
        self.stretches: tuple[Ends, ...] = ()
        self.start_s = 0.0
        self.end_s = 0.0

    def select(self, kind: Picked, index: int, start_s: float, end_s: float) -> None:
        """Select a row that covers this stretch."""
        self._set(kind, index, "", ((start_s, end_s),))

    def select_all(self, kind: Picked, key: str, stretches: tuple[Ends, ...]) -> None:
        """Select all stretches, one at least, of a part or a cause."""
        self._set(kind, -1, key, stretches)

    def step(self, by: int) -> None:
        """Show the next stretch of many, or with -1 the one before; after the last comes the first."""
        if not self.key:
            return
        before = self.index if self.index >= 0 else (-1 if by > 0 else 0)
        self.index = (before + by) % len(self.stretches)
        self.start_s, self.end_s = self.stretches[self.index]
        self.changed.emit()

    def clear(self) -> None:
        if self.kind is not None:
            self._set(None, -1, "", ())

    def _set(self, kind: Picked | None, index: int, key: str, stretches: tuple[Ends, ...]) -> None:
        self.kind, self.index, self.key, self.stretches = kind, index, key, stretches
        self.start_s, self.end_s = (stretches[0][0], stretches[-1][1]) if stretches else (0.0, 0.0)
        self.changed.emit()


class Along(KeyEnum):
    """What the charts run along."""

    TIME = "time"
    DISTANCE = "distance"


class Rate(KeyEnum):
    """What the lowest chart shows."""

    SPEED = "speed"
    VERTICAL = "vertical speed"
    RESIDUAL = "residual"


class ChartChoice(QObject):
    """How the charts are drawn: along time or distance, what is shown below, with the fit or without."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.along = Along.TIME
        self.rate = Rate.SPEED
        self.fitted = False

    def set_along(self, along: Along) -> None:
        self._set("along", along)

    def set_rate(self, rate: Rate) -> None:
        self._set("rate", rate)

    def set_fitted(self, fitted: bool) -> None:
        """Show the fitted heart rate, or not."""
        self._set("fitted", fitted)

    def _set(self, name: str, value: object) -> None:
        if value is not getattr(self, name):
            setattr(self, name, value)
            self.changed.emit()


SHORTEST_S = 1.0
"""A shorter drag is a click [project choice]."""


class Measuring(QObject):
    """At most two stretches, as seconds of the outing; ``changed`` while one grows, too."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.latest: Ends | None = None
        self.before: Ends | None = None
        self._growing = False

    def grow(self, start_s: float, end_s: float) -> None:
        """A stretch is being drawn: the one measured last goes beside it."""
        if not self._growing and self.latest is not None:
            self.before = self.latest
        self._growing = True
        self.latest = (min(start_s, end_s), max(start_s, end_s))
        self.changed.emit()

    def finish(self, start_s: float, end_s: float) -> None:
        """The stretch is drawn; one shorter than a click clears both."""
        if abs(end_s - start_s) < SHORTEST_S:
            self.clear()
            return
        self.grow(start_s, end_s)
        self._growing = False

    def clear(self) -> None:
        self._growing = False
        if self.latest is not None:
            self.latest = self.before = None
            self.changed.emit()
