"""The acts on notes that menus and keys call: they choose a place and ask for the words."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from slopebeat.model.language import tr
from slopebeat.session.session import Session


class Noting(QObject):
    """Moves the place of the note that is being written."""

    wanted = Signal(object)
    """A place was chosen, as first and last second or None; the words are to be written."""

    begun = Signal()
    """A stretch begins at the cursor; its end is to come."""

    told = Signal(str)
    """Why nothing happened."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session

    def note_here(self) -> None:
        """A note at the cursor."""
        t_s = self._cursor()
        if t_s is not None:
            self.note_at(t_s, None)

    def note_from_here(self) -> None:
        """A note on a stretch that begins at the cursor."""
        t_s = self._cursor()
        if t_s is not None:
            self._session.notes.begin(t_s)
            self.begun.emit()

    def note_to_here(self) -> None:
        """The stretch ends at the cursor."""
        t_s, notes = self._cursor(), self._session.notes
        if t_s is None:
            return
        if notes.draft is None:
            self.told.emit(tr("Choose Note from here first."))
            return
        notes.end(t_s)
        self.wanted.emit(notes.draft)

    def note_on_selection(self) -> None:
        """A note on the climb, episode, doubted stretch or note that is selected."""
        picked = self._session.selection
        if picked.kind is None:
            self.told.emit(tr("Select a climb or an episode in the tables first."))
        else:
            self.note_at(picked.start_s, picked.end_s)

    def note_on_view(self) -> None:
        """A note on what the charts show now."""
        self.note_at(self._session.visible.start_s, self._session.visible.end_s)

    def note_on_outing(self) -> None:
        """A note on the whole outing."""
        if self._session.outing.review is None:
            self._no_outing()
            return
        self._session.notes.drop_draft()
        self.wanted.emit((None, None))

    def note_at(self, start_s: float, end_s: float | None) -> None:
        """A note at this place."""
        if self._session.outing.review is None:
            self._no_outing()
            return
        self._session.notes.set_draft(start_s, end_s)
        self.wanted.emit(self._session.notes.draft)

    def _cursor(self) -> float | None:
        if self._session.outing.review is None:
            self._no_outing()
            return None
        if self._session.cursor.t_s is None:
            self.told.emit(tr("Point at the charts or move the cursor with Ctrl+Right first."))
        return self._session.cursor.t_s

    def _no_outing(self) -> None:
        self.told.emit(tr("Open a recording first; then notes can be written on it."))
