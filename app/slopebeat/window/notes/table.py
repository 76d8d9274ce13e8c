"""The notes of the outing as a table, changed in place."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QWidget

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.review.notes.heart import heart_there
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.notes.cells import (
    NOTE_COLUMNS,
    NOTE_ROLE,
    WHAT,
    WORDS,
    NoteDelegate,
    NoteRow,
    NotesModel,
)
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.table import RowsTable

LEAST_WORDS_PX, SIGN_ROOM_PX = 80, 22
"""Least width of the words, which are read in full by hovering; room for a sign [project choice]."""


class NotesTable(RowsTable):
    """Picking a row selects the note in the session; cells are changed in place, Delete takes back."""

    more_room_px = 0  # The words take what is left.

    card_wanted = Signal(object)
    """A note is to be changed in the card."""

    refused = Signal(object, object, str)
    """A note, the fields that were entered, and why they were not taken."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Notes"), NOTE_COLUMNS, parent, NotesModel)
        self._session = session
        self._late = False
        self._delegate = NoteDelegate(self)
        self.setItemDelegate(self._delegate)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed)
        # Queued: the table is filled anew by the change, which must not happen inside the editor's end.
        self._delegate.entered.connect(self._take, Qt.ConnectionType.QueuedConnection)
        self._delegate.closeEditor.connect(self._catch_up)
        self.doubleClicked.connect(self._open)
        changes = session.notes.changed, self._show, session.outing.reviewed
        self._fresh = FreshWhenSeen(session.steps, self, *changes)
        session.selection.changed.connect(self._follow)
        self.selectionModel().selectionChanged.connect(self._picked)

    def note(self) -> Note | None:
        """The note that is selected."""
        at = self.picked_row()
        return None if at is None or at >= len(self.rows.rows) else self.rows.rows[at].note

    def take_back(self) -> None:
        """Take the selected note back; undo brings it again."""
        note = self.note()
        if note is not None:
            self._session.selection.clear()
            self._session.notes.take_back(note)

    def event(self, event: QEvent) -> bool:
        """The key that changes a title changes a cell here."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() is QEvent.Type.ShortcutOverride
            and event.key() == Qt.Key.Key_F2
            and self.note() is not None
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        editing = self.state() is QAbstractItemView.State.EditingState
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not editing:
            self._enter()
        elif event.key() == Qt.Key.Key_Delete and not editing:
            self.take_back()
        else:
            super().keyPressEvent(event)

    def _enter(self) -> None:
        """Change the words in place where they stand on one line, else in the card."""
        note, chosen = self.note(), self.selectionModel().selectedRows()
        if note is None:
            return
        index = self.rows.index(chosen[0].row(), WORDS)
        if index.flags() & Qt.ItemFlag.ItemIsEditable:
            self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)
            self.edit(index)
        else:
            self.card_wanted.emit(note)

    def _open(self, index: QModelIndex) -> None:
        if not index.flags() & Qt.ItemFlag.ItemIsEditable:
            self.card_wanted.emit(index.data(NOTE_ROLE))

    def _take(self, note: Note, changes: dict[str, Any]) -> None:
        try:
            self._session.notes.edit(note, **changes)
        except UserError as problem:
            self.refused.emit(note, changes, str(problem))

    def _catch_up(self, _editor: QWidget, _hint: QAbstractItemDelegate.EndEditHint) -> None:
        if self._late:
            QTimer.singleShot(0, self, self._show)

    def _show(self) -> None:
        if self.state() is QAbstractItemView.State.EditingState:
            # Filling the table would throw away what is being typed.
            self._late = True
            return
        self._late = False
        review, notes, picked = self._session.outing.review, self._session.notes.all, self._session.selection
        mine = self.note() if picked.kind is Picked.NOTE else None
        band = None if review is None else review.aim.band
        rows = [NoteRow(n, None if review is None else heart_there(n, review.track, band)) for n in notes]
        self.set_rows(rows)
        self.setColumnWidth(WHAT, self.columnWidth(WHAT) + SIGN_ROOM_PX)
        self._fit_words()
        if mine is not None:
            self._keep(mine.identity)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_words()

    def _fit_words(self) -> None:
        """The words take what the other columns leave."""
        others = sum(self.columnWidth(c) for c in range(self.rows.columnCount()) if c != WORDS)
        self.setColumnWidth(WORDS, max(self.viewport().width() - others, LEAST_WORDS_PX))

    def _keep(self, identity: str) -> None:
        """The note that was selected may have another number now, or be gone."""
        picked = self._session.selection
        at = next((i for i, row in enumerate(self.rows.rows) if row.note.identity == identity), None)
        if at is None:
            picked.clear()
            return
        # The same note on another row: nothing to zoom to, so nobody is told.
        picked.index = at
        self.pick(at)

    def _picked(self) -> None:
        at, picked = self.picked_row(), self._session.selection
        if at is None or (picked.kind is Picked.NOTE and picked.index == at):
            return
        note: Note = self.rows.rows[at].note
        start = 0.0 if note.start_s is None else note.start_s
        end = self._session.visible.full_s if note.start_s is None else note.end_s
        picked.select(Picked.NOTE, at, start, start if end is None else end)

    def _follow(self) -> None:
        picked = self._session.selection
        if self._fresh.stale:
            return
        if picked.kind is not Picked.NOTE:
            self.clearSelection()
        elif self.picked_row() != picked.index and picked.index < len(self.rows.rows):
            self.pick(picked.index)
