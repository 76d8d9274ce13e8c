"""The tab of notes: the table, what can be done with it, the card, and the lactate samples."""

from __future__ import annotations

from functools import cached_property

from PySide6.QtWidgets import QScrollArea, QSizePolicy, QStackedWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.plots.lactate import LactateSamplesChart
from slopebeat.review.cautions import LACTATE_CAUTIONS
from slopebeat.review.notes.heart import LactateReading, lactate_readings, lactate_sentences
from slopebeat.review.outing import Review
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.notes.card import NoteCard
from slopebeat.window.notes.table import NotesTable
from slopebeat.window.widgets.parts import REST, button, explained_by, holder, label, row, scrolling, stacked
from slopebeat.window.widgets.refresh import show_review_when_seen

LEAST_SAMPLES = 3
"""Fewer samples make no picture [project choice]."""


def readings_of(session: Session) -> tuple[LactateReading, ...]:
    """The samples of the outing on screen."""
    review = session.outing.review
    return () if review is None else lactate_readings(session.notes.all, review.track)


class LactateSamples(QWidget):
    """Read only; the samples themselves are notes."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.sentences = label("", "", wrap=True)
        self.caution = label(" ".join(tr(text) for text in LACTATE_CAUTIONS), "caption", wrap=True)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(holder(stacked(self.caution, self.sentences, REST, margins=(10, 4, 10, 4))))
        self._layout = row((scroll, 2), of=self, spacing=0)
        self._refresh = show_review_when_seen(session, self, self._show, session.notes.changed)

    @cached_property
    def chart(self) -> LactateSamplesChart:
        """Made when it is first drawn: the window opens sooner without it."""
        made = LactateSamplesChart()
        self._layout.insertWidget(0, made, 3)
        return made

    def _show(self, review: Review) -> None:
        self.chart.show_readings(readings_of(self._session))
        self.sentences.setText("\n".join(lactate_sentences(self._session.notes.all, review.track)))


class NotesPanel(QWidget):
    """Table or lactate samples on the left, the card on the right."""

    def __init__(self, session: Session, table: NotesTable, card: NoteCard) -> None:
        """Table and card were made before, one after the other: each takes a while."""
        super().__init__()
        self._session = session
        self.table, self.card = table, card
        self.lactate = LactateSamples(session)
        self.hint = label("", "caption", wrap=True)
        self.change = button(tr("Change"), "", tr("Change the selected note in the card (double click)"))
        self.remove = button(tr("Delete"), "", tr("Take the selected note back (Delete)"))
        self.to_lactate = button(tr("Lactate"), "segment")
        explained_by("notes", self)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.table)
        self.stack.addWidget(self.lactate)
        self._lay_out()
        self.change.clicked.connect(self._change)
        self.remove.clicked.connect(self.table.take_back)
        self.to_lactate.toggled.connect(self.stack.setCurrentIndex)
        self.table.card_requested.connect(self.card.change)
        self.table.refused.connect(self.card.change)
        self.table.selectionModel().selectionChanged.connect(self._offer)
        session.notes.changed.connect(self._offer)
        session.outing.reviewed.connect(self._offer)
        self._offer()

    def pick(self, identity: str) -> None:
        """Select a note, as a click on its row does."""
        at = self._at(identity)
        if at is not None:
            self.to_lactate.setChecked(False)
            note = self._session.notes.all[at]
            start = note.start_s or 0.0
            end = self._session.visible.full_s if note.start_s is None else note.end_s
            self._session.selection.select(Picked.NOTE, at, start, start if end is None else end)

    def open(self, identity: str) -> None:
        """Change a note in the card."""
        at = self._at(identity)
        if at is not None:
            self.card.change(self._session.notes.all[at])

    def _at(self, identity: str) -> int | None:
        notes = self._session.notes.all
        return next((i for i, note in enumerate(notes) if note.identity == identity), None)

    def _change(self) -> None:
        note: Note | None = self.table.note()
        if note is not None:
            self.card.change(note)

    def _offer(self, *_changed: object) -> None:
        picked = self.table.note() is not None
        self.change.setEnabled(picked)
        self.remove.setEnabled(picked)
        enough = len(readings_of(self._session)) >= LEAST_SAMPLES
        self.to_lactate.setEnabled(enough)
        self.to_lactate.setToolTip(
            tr("Lactate samples over the heart rate they go with")
            if enough
            else tr("It takes three lactate samples to draw them over the heart rate.")
        )
        if not enough:
            self.to_lactate.setChecked(False)
        some = tr("Drag on the charts with Ctrl held, or Ctrl+N.")
        none = tr("No notes yet: drag on the charts with Ctrl held, or Ctrl+N.")
        self.hint.setText(some if self._session.notes.all else none)

    def _lay_out(self) -> None:
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        bar = row((self.hint, 1), self.change, self.remove, self.to_lactate, spacing=6)
        left = holder(stacked(bar, (self.stack, 1), margins=(12, 6, 0, 4), spacing=4))
        card = scrolling(self.card)
        card.setAccessibleName(tr("Note"))
        row((left, 1), card, of=self, spacing=0)
