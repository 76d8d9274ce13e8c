"""The lactate samples of an outing: the chart, what it says, and the cautions."""

from __future__ import annotations

from functools import cached_property

from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.plots.lactate import LactateSamplesChart
from slopebeat.review.answer import LACTATE_CAUTIONS
from slopebeat.review.notes.lactate import LactateReading, lactate_readings, lactate_sentences
from slopebeat.session.session import Session
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import label

LEAST_SAMPLES = 3
"""Fewer samples make no picture [project choice]."""


def readings_of(session: Session) -> tuple[LactateReading, ...]:
    """The samples of the outing on screen."""
    review = session.outing.review
    return () if review is None else lactate_readings(session.notes.all, review.track)


class LactateSamples(QWidget):
    """Read only; the samples themselves are notes."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.sentences = label("", "", wrap=True)
        self.caution = label(" ".join(tr(text) for text in LACTATE_CAUTIONS), "caption", wrap=True)
        words = QWidget()
        column = QVBoxLayout(words)
        column.setContentsMargins(10, 4, 10, 4)
        column.addWidget(self.caution)
        column.addWidget(self.sentences)
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(words)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(scroll, 2)
        self._layout = layout
        changes = session.notes.changed, self._show, session.outing.reviewed
        self._fresh = FreshWhenSeen(session.steps, self, *changes)

    @cached_property
    def chart(self) -> LactateSamplesChart:
        """Made when it is first drawn: the window opens sooner without it."""
        made = LactateSamplesChart()
        self._layout.insertWidget(0, made, 3)
        return made

    def _show(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.chart.show_readings(readings_of(self._session))
            self.sentences.setText("\n".join(lactate_sentences(self._session.notes.all, review.track)))
