"""What the actions do to the session; nothing here draws."""

from __future__ import annotations

from bisect import bisect_right
from functools import partialmethod
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from slopebeat.session.outing.view_state import Along, Rate

if TYPE_CHECKING:
    from slopebeat.session.session import Session

ZOOM = 0.7
"""One step of zoom [project choice]."""

PAN = 0.2
"""One step of pan, as share of the view [project choice]."""

FAR_S = 60.0


class Commands(QObject):
    """Small acts on the session's state."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session

    def whole_outing(self) -> None:
        self._session.visible.reset()

    def _zoom(self, factor: float) -> None:
        self._session.visible.zoom(factor, self._session.cursor.t_s)

    zoom_in, zoom_out = partialmethod(_zoom, ZOOM), partialmethod(_zoom, 1 / ZOOM)

    def _pan(self, share: float) -> None:
        self._session.visible.pan(share)

    pan_left, pan_right = partialmethod(_pan, -PAN), partialmethod(_pan, PAN)

    def _move_edges(self, lower_by: int, upper_by: int) -> None:
        self._session.move_edges(lower_by, upper_by)

    upper_edge_up, upper_edge_down = partialmethod(_move_edges, 0, 1), partialmethod(_move_edges, 0, -1)
    lower_edge_up, lower_edge_down = partialmethod(_move_edges, 1, 0), partialmethod(_move_edges, -1, 0)

    def switch_along(self) -> None:
        charts = self._session.charts
        charts.set_along(Along.DISTANCE if charts.along is Along.TIME else Along.TIME)

    def switch_rate(self) -> None:
        charts = self._session.charts
        rates = list(Rate)
        charts.set_rate(rates[(rates.index(charts.rate) + 1) % len(rates)])

    def switch_fitted(self) -> None:
        self._session.charts.set_fitted(not self._session.charts.fitted)

    def _step_stretch(self, by: int) -> None:
        self._session.selection.step(by)

    next_stretch, previous_stretch = partialmethod(_step_stretch, 1), partialmethod(_step_stretch, -1)

    def clear_selection(self) -> None:
        self._session.selection.clear()
        self._session.doubts.drop_draft()
        self._session.notes.drop_draft()

    def undo(self) -> None:
        self._session.history.undo()

    def redo(self) -> None:
        self._session.history.redo()

    def mark_start(self) -> None:
        if self._session.cursor.t_s is not None:
            self._session.doubts.begin(self._session.cursor.t_s)

    def mark_end(self) -> None:
        if self._session.cursor.t_s is not None:
            self._session.doubts.end(self._session.cursor.t_s)

    def cancel_reading(self) -> None:
        self._session.opening.cancel()

    def _step_recording(self, by: int) -> None:
        """Among those opened together, or for one out of the library along the list of outings."""
        session = self._session
        if len(session.outing.recordings) == 1 and session.keeping.kept_as:
            there = session.library.outings.neighbour(session.keeping.kept_as, by)
            if there is not None:
                session.library.open_outing(there)
        else:
            session.outing.choose(session.outing.index + by)

    next_recording, previous_recording = partialmethod(_step_recording, 1), partialmethod(_step_recording, -1)

    def _move_cursor(self, records: int, seconds: float) -> None:
        """Move by records or seconds; bring the cursor into view where it is not."""
        review = self._session.outing.review
        if review is None or not len(review.track):
            return
        t, visible, cursor = review.track.t_s, self._session.visible, self._session.cursor
        now = visible.start_s if cursor.t_s is None else cursor.t_s
        at = bisect_right(t, now + seconds) - 1 + records
        cursor.move(float(t[min(max(at, 0), t.size - 1)]))
        here = cursor.t_s
        if here is not None and not visible.start_s <= here <= visible.end_s:
            half = (visible.end_s - visible.start_s) / 2
            visible.show(here - half, here + half)

    cursor_back, cursor_on = partialmethod(_move_cursor, -1, 0.0), partialmethod(_move_cursor, 1, 0.0)
    cursor_back_far = partialmethod(_move_cursor, 0, -FAR_S)
    cursor_on_far = partialmethod(_move_cursor, 0, FAR_S)
