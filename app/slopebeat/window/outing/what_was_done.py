"""What was done, put right by hand; and ground declared level where the file has no elevation."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QComboBox, QGridLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.model.notes import SPORTS, Note, NoteKind, new_note
from slopebeat.model.recording import Recording, Sport
from slopebeat.review.words.names import key_name
from slopebeat.session.session import Session
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import label

LEAST_LETTERS = 14
"""Letters of a sport that are always to be seen."""


class WhatWasDone(QWidget):
    """A choice and a box; each decision is a note on the whole outing, kept and undone as notes are."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.sport, self.level = QComboBox(), QCheckBox(tr("The ground was level"))
        self.seen = label("", "caption", wrap=True)
        self._name()
        layout = QGridLayout(self)
        layout.setContentsMargins(14, 8, 14, 0)
        layout.setSpacing(4)
        layout.addWidget(self.sport, 0, 0)
        layout.addWidget(self.seen, 1, 0)
        layout.addWidget(self.level, 2, 0)
        self.sport.activated.connect(self._put_right)
        self.level.clicked.connect(self._declare)
        self._fresh = FreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.notes.changed
        )

    def _name(self) -> None:
        self.sport.setAccessibleName(tr("What was done"))
        self.sport.setMinimumContentsLength(LEAST_LETTERS)
        self.sport.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.sport.setToolTip(tr("Put right what the file says was done; undo takes it back."))
        self.sport.addItem("")
        for sport in SPORTS:
            self.sport.addItem(key_name(sport))
        self.level.setToolTip(
            tr("The recording has no elevation. Declared level, its work rate is told from speed alone.")
        )

    def _show(self) -> None:
        review, recording = self._session.outing.review, self._recording()
        if review is None or recording is None:
            return
        file_says = tr("as the file says: {sport}").format(sport=key_name(recording.sport))
        if recording.sport is Sport.UNKNOWN:
            file_says = tr("the file does not say")
        self.sport.setItemText(0, file_says)
        said = self._note(NoteKind.SPORT)
        self.sport.setCurrentIndex(0 if said is None or said.value is None else int(said.value))
        self.seen.setText(
            tr("By speed, steps and climbing: {what}").format(what=key_name(review.recognised.kind))
            if said is None
            else tr("Put right by hand")
        )
        declared = self._note(NoteKind.GRADE)
        without = review.elevation.ascent_m is None
        self.level.setVisible(without or declared is not None)
        self.level.setChecked(declared is not None and declared.value == 0.0)

    def _recording(self) -> Recording | None:
        outing = self._session.outing
        return outing.recordings[outing.index] if 0 <= outing.index < len(outing.recordings) else None

    def _note(self, kind: NoteKind) -> Note | None:
        """The latest note of a kind on the whole outing."""
        here = [note for note in self._session.notes.all if note.kind is kind and note.start_s is None]
        return max(here, key=lambda note: (note.created_utc, note.identity), default=None)

    def _put_right(self, index: int) -> None:
        self._decide(NoteKind.SPORT, None if index == 0 else float(index))

    def _declare(self, level: bool) -> None:
        self._decide(NoteKind.GRADE, 0.0 if level else None)

    def _decide(self, kind: NoteKind, value: float | None) -> None:
        """Write, change or take back the note that holds the decision."""
        notes, note = self._session.notes, self._note(kind)
        if value is None:
            if note is not None:
                notes.take_back(note)
        elif note is None:
            notes.add(new_note(kind, notes.author, value=value))
        else:
            notes.edit(note, value=value)
