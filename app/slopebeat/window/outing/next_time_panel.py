"""How to go the same way next time: in two sentences and a row for each climb."""

from __future__ import annotations

from PySide6.QtWidgets import QScrollArea, QWidget

from slopebeat.model.language import tr
from slopebeat.review.help.explanations import hint
from slopebeat.review.present.held import HELD_FIGURES, ground_sentence, held_rows, held_sentence
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.outing.stretches import StretchTable
from slopebeat.window.widgets.parts import GrowingPage, explained_by, label, scroll_down, stacked
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.table import row_height

SEEN_ROWS = 4
"""Climbs that are shown at once: where the window is low the page scrolls, not the table [project choice]."""

SCROLL_PX = 12
"""Room for a bar to scroll sideways [project choice]."""


class NextTimePanel(QScrollArea):
    """Sentence, where the minutes came from, table of climbs; a row selects its climb."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        scroll_down(self, tr("Next time"))
        self.sentence = label("", "detail", tr(hint("held.speed")), wrap=True)
        self.ground = label("", "muted", wrap=True)
        explained_by("held.how", self.ground)
        self.table = StretchTable(
            session, Picked.CLIMB, columns_of(HELD_FIGURES), tr("Climbs next time"), held_rows
        )
        page = GrowingPage()
        said = (self.sentence, self.ground, (self.table, 1))
        stacked(*said, of=page, margins=(10, 6, 10, 4), spacing=2)
        self.setWidget(page)
        self._refresh = RefreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.display.changed
        )

    def _show(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.sentence.setText(held_sentence(review))
            self.ground.setText(ground_sentence(review))
            self.table.setVisible(review.held is not None)
            rows = min(len(held_rows(review)), SEEN_ROWS)
            head = self.table.horizontalHeader().sizeHint().height()
            self.table.setMinimumHeight(head + rows * row_height(self.table) + SCROLL_PX)
