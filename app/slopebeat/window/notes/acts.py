"""The acts on notes that menus and keys call, and the menu of the charts that offers them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Signal
from PySide6.QtWidgets import QMenu, QWidget

from slopebeat.model.language import tr
from slopebeat.model.units import clock
from slopebeat.session.outing.view_state import Picked

if TYPE_CHECKING:
    from slopebeat.plots.outing.notes_on_charts import NotesOnCharts
    from slopebeat.session.session import Session


class NoteActions(QObject):
    """Moves the place of the note that is being written."""

    wanted = Signal(object)
    """A place was chosen, as first and last second or None; the words are to be written."""

    started = Signal()
    """A stretch begins at the cursor; its end is to come."""

    message = Signal(str)
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
            self.started.emit()

    def note_to_here(self) -> None:
        """The stretch ends at the cursor."""
        t_s, notes = self._cursor(), self._session.notes
        if t_s is None:
            return
        if notes.draft is None:
            self.message.emit(tr("Choose Note from here first."))
            return
        notes.end(t_s)
        self.wanted.emit(notes.draft)

    def note_on_selection(self) -> None:
        """A note on the climb, episode, doubted stretch or note that is selected."""
        picked = self._session.selection
        if picked.kind is None:
            self.message.emit(tr("Select a climb or an episode in the tables first."))
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
            self.message.emit(tr("Point at the charts or move the cursor with Ctrl+Right first."))
        return self._session.cursor.t_s

    def _no_outing(self) -> None:
        self.message.emit(tr("Open a recording first; then notes can be written on it."))


class ChartMenu(QObject):
    """Made anew each time it is asked for; everything in it is also in the menus or in the tab of notes."""

    def __init__(
        self, view: QWidget, charts: NotesOnCharts, session: Session, note_actions: NoteActions
    ) -> None:
        super().__init__(view)
        self._view, self._session, self._note_actions = view, session, note_actions
        charts.menu_requested.connect(self._pop_up)

    def made(self, t_s: float) -> QMenu:
        """The menu for a right click at this second of the outing."""
        menu = QMenu(self._view)
        session, note_actions = self._session, self._note_actions
        session.cursor.move(t_s)
        at = clock(t_s)
        menu.addAction(tr("Note here, {time}").format(time=at), partial(note_actions.note_at, t_s, None))
        menu.addAction(tr("Note from here"), note_actions.note_from_here)
        until = menu.addAction(tr("Note up to here"), note_actions.note_to_here)
        until.setEnabled(session.notes.draft is not None)
        menu.addSeparator()
        menu.addAction(tr("Note on the visible stretch"), note_actions.note_on_view)
        selected = session.selection.kind
        on_selection = menu.addAction(self._selection_words(selected), note_actions.note_on_selection)
        on_selection.setEnabled(selected is not None)
        menu.addAction(tr("Note on the outing"), note_actions.note_on_outing)
        menu.addSeparator()
        menu.addAction(tr("Doubtful start here"), partial(session.doubts.begin, t_s))
        end = menu.addAction(tr("Doubtful end here"), partial(session.doubts.end, t_s))
        end.setEnabled(session.doubts.draft_s is not None)
        return menu

    def _selection_words(self, selected: Picked | None) -> str:
        words = {
            Picked.CLIMB: tr("Note on the selected climb"),
            Picked.EPISODE: tr("Note on the selected episode"),
            Picked.MARK: tr("Note on the selected doubted stretch"),
        }
        return words.get(selected, tr("Note on the selection")) if selected else tr("Note on the selection")

    def _pop_up(self, place: QPoint, t_s: float) -> None:
        menu = self.made(t_s)
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(place)
