"""The tables of climbs and of episodes out of band."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QTabWidget, QWidget

from slopebeat.model.language import mark
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.episodes import EPISODE_FIGURES
from slopebeat.session.outing.view_state import Picked
from slopebeat.window.widgets.refresh import show_review_when_seen
from slopebeat.window.widgets.rows import Column, columns_of
from slopebeat.window.widgets.table import RowsTable

if TYPE_CHECKING:
    from slopebeat.review.outing import Review
    from slopebeat.session.ground.places import OutingGround
    from slopebeat.session.session import Session

CLIMB_COLUMNS, EPISODE_COLUMNS = columns_of(CLIMB_FIGURES), columns_of(EPISODE_FIGURES)


def repeats_column(ground: OutingGround) -> Column:
    """How often each climb was gone; what is known of it comes after the review."""
    return Column(
        mark("Times\nclimbed"),
        mark("How often this climb was gone in all, this time among them."),
        lambda _at, climb: ground.gone.times_passed(climb),
        lambda count: "" if count is None else f"{count}",
    )


class StretchTable(RowsTable):
    """Climbs, episodes or doubts; picking a row selects that stretch in the session."""

    def __init__(
        self,
        session: Session,
        kind: Picked,
        columns: Sequence[Column],
        name: str,
        rows_of: Callable[[Review], Sequence[Any]],
    ) -> None:
        super().__init__(name, columns)
        self._rows_of = rows_of
        self._session = session
        self._kind = kind
        self._refresh = show_review_when_seen(
            session, self, self._show, session.display.changed, watched=True
        )
        session.selection.changed.connect(self._follow)
        self.selectionModel().selectionChanged.connect(self._picked)

    def show_rows(self) -> None:
        """What the rows are has changed: read them again when they are looked at."""
        if self._session.selection.kind is self._kind:
            self._session.selection.clear()
        self._refresh.redraw()

    def _show(self, review: Review) -> None:
        rows = self._rows_of(review)
        self.set_rows(rows, keep_widths=self._session.aim.trying)
        picked = self._session.selection
        if picked.kind is not self._kind:
            return
        there = rows[picked.index] if picked.index < len(rows) else None
        if there is not None and (there.start_s, there.end_s) == (picked.start_s, picked.end_s):
            self._follow()
        else:
            picked.clear()

    def _picked(self) -> None:
        number_picked = self.picked_row()
        picked = self._session.selection
        if number_picked is None or (picked.kind is self._kind and picked.index == number_picked):
            return
        chosen = self.rows.rows[number_picked]
        picked.select(self._kind, number_picked, chosen.start_s, chosen.end_s)

    def _follow(self) -> None:
        picked = self._session.selection
        if self._refresh.stale:
            return
        if picked.kind is not self._kind:
            self.clearSelection()
        elif self.picked_row() != picked.index:
            self.pick(picked.index)


class TabOfSelection(QObject):
    """What was picked on charts, plan or bar is shown in its table, where no tab that is open has it.

    ``having`` names the tabs that show a kind, first the one to open; causes stand beside the episodes.
    """

    def __init__(
        self, session: Session, tabs: QTabWidget, having: Mapping[Picked, tuple[QWidget, ...]]
    ) -> None:
        super().__init__(tabs)
        self._selection, self._tabs, self._having = session.selection, tabs, having
        session.selection.changed.connect(self._open)

    def _open(self) -> None:
        kind = self._selection.kind
        views = None if kind is None else self._having.get(Picked.EPISODE if kind is Picked.CAUSE else kind)
        if views is not None and self._tabs.currentWidget() not in views:
            self._tabs.setCurrentWidget(views[0])
