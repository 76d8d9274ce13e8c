"""What a user says of a whole outing, as a note; here the time zone."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox

from slopebeat.model.language import tr
from slopebeat.model.notes import Note, NoteKind, by_writing, new_note
from slopebeat.model.recording import Recording, utc_text
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import explained_by
from slopebeat.window.widgets.refresh import RefreshWhenSeen

_BETWEEN_H = (-9.5, -3.5, -2.5, 3.5, 4.5, 5.5, 5.75, 6.5, 8.75, 9.5, 10.5, 12.75, 13.75)
OFFSETS_H = tuple(sorted((*(float(hours) for hours in range(-12, 15)), *_BETWEEN_H)))
"""Hours from UTC that are in use (IANA time zone database)."""

LEAST_LETTERS = 12
"""Letters that are always to be seen."""


def shown_recording(session: Session) -> Recording | None:
    """The recording on screen as its file has it."""
    outing = session.outing
    return outing.recordings[outing.index] if 0 <= outing.index < len(outing.recordings) else None


def entered_of_outing(session: Session, kind: NoteKind) -> Note | None:
    """The latest note of a kind on the whole outing."""
    here = [note for note in session.notes.all if note.kind is kind and note.start_s is None]
    return max(here, key=by_writing, default=None)


def decide(session: Session, kind: NoteKind, value: float | None) -> None:
    """Write, change or take back the note that holds the decision."""
    notes, note = session.notes, entered_of_outing(session, kind)
    if value is None:
        if note is not None:
            notes.take_back(note)
    elif note is None:
        notes.add(new_note(kind, notes.author, value=value))
    else:
        notes.edit(note, value=value)


class TimeZoneChoice(QComboBox):
    """What the clocks showed where the outing was."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        explained_by("start", self)
        self.setAccessibleName(tr("Time zone"))
        self.setMinimumContentsLength(LEAST_LETTERS)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setToolTip(tr("Say what the clocks showed where the outing was; undo takes it back."))
        self.addItem("")
        for hours in OFFSETS_H:
            self.addItem(utc_text(hours * 3600.0), hours)
        self.activated.connect(
            lambda at: decide(session, NoteKind.UTC_OFFSET, self.itemData(at) if at else None)
        )
        self._refresh = RefreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.notes.changed
        )

    def _show(self) -> None:
        recording = shown_recording(self._session)
        if recording is None:
            return
        known = recording.utc_offset_s
        text = tr("UTC (not in the file)")
        if known is not None:
            text = tr("{zone} (from the file)").format(zone=utc_text(known))
        self.setItemText(0, text)
        note = entered_of_outing(self._session, NoteKind.UTC_OFFSET)
        if note is not None and self.findData(note.value) < 0:
            # Said in a note of its own, which takes any offset.
            self.addItem(utc_text((note.value or 0.0) * 3600.0), note.value)
        self.setCurrentIndex(0 if note is None else self.findData(note.value))
