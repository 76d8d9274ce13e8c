"""Decoupling: the rows side by side, each with what was left out and how far to trust it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.review.help.explanations import hint
from slopebeat.review.present.decoupling import ROW_FIGURES, DecouplingRow, rows_of
from slopebeat.review.present.decoupling_answer import decoupling_sentence
from slopebeat.review.present.figure import On, shown_on
from slopebeat.session.session import Session
from slopebeat.window.outing.drift_test_box import DriftTestBox
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import GrowingPage, explained_by, label

WORDY = (4, 5)
"""The columns of sentences, which share what width there is."""


class DecouplingPanel(QScrollArea):
    """A grid of words and figures, made anew for each review, above the drift test."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWidgetResizable(True)
        self.setAccessibleName(tr("Decoupling"))
        self.drift_test = DriftTestBox(session)
        self.sentence = explained_by("terrain_fair", label("", "figure", wrap=True))
        self.sentence.setContentsMargins(14, 8, 14, 0)
        self._grid = QWidget()
        page = GrowingPage()
        self._column = QVBoxLayout(page)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.sentence)
        self._column.addWidget(self._grid)
        self._column.addWidget(self.drift_test)
        self._column.addStretch(1)
        self.setWidget(page)
        self._fresh = FreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.display.changed
        )

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        self.sentence.setText(decoupling_sentence(review))
        fresh = _grid(rows_of(review))
        self._column.replaceWidget(self._grid, fresh)
        self._grid.deleteLater()
        self._grid = fresh
        self.drift_test.show_test(review.drift_test)


def _grid(rows: Sequence[DecouplingRow]) -> QWidget:
    page = QWidget()
    outer = QVBoxLayout(page)
    outer.setContentsMargins(14, 4, 14, 8)
    grid = QGridLayout()
    grid.setHorizontalSpacing(14)
    grid.setVerticalSpacing(6)
    outer.addLayout(grid)
    outer.addStretch(1)
    shown = shown_on(On.WINDOW, ROW_FIGURES)
    for column, each in enumerate(shown):
        grid.addWidget(label(each.header, "caption", tr(each.line), wrap=column in WORDY), 0, column)
    for column in WORDY:
        grid.setColumnStretch(column, 3)
    for at, row in enumerate(rows, start=1):
        # What is no answer does not stand in the size of one.
        look = "" if row.answers else "caption"
        cells = (
            label(row.name, "fine_figure" if row.answers else "caption", row.tip),
            _figure(row),
            label(row.first, look),
            label(row.second, look),
            label(row.used, "caption", wrap=True),
            label(row.trust, wrap=True),
        )
        for column, (cell, each) in enumerate(zip(cells, shown, strict=True)):
            if column:
                explained_by(each.key, cell)
            grid.addWidget(cell, at, column, Qt.AlignmentFlag.AlignTop)
    return page


def _figure(row: DecouplingRow) -> QWidget:
    """The figure large if it is an answer, its interval small beneath."""
    cell = QWidget()
    layout = QVBoxLayout(cell)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    tip = tr(hint("halves.figure"))
    layout.addWidget(label(row.figure, "figure" if row.answers else "caption", tip))
    if row.interval:
        layout.addWidget(label(row.interval, "caption", tr("95 % interval of the fit.")))
    return cell
