"""The notes of the outing as a table, changed in place."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.notes import RULES, Author, Note
from slopebeat.plots.outing.notes_on_charts import hover_text
from slopebeat.plots.outing.notes_signs import sign_icon
from slopebeat.plots.theme import theme
from slopebeat.review.notes.heart import HeartThere, disagreement, heart_there, heart_words
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.notes.form import NoteValue
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.rows import Column, Index, RowsModel, words_column
from slopebeat.window.widgets.table import EditedTable

NOTE_ROLE = Qt.ItemDataRole.UserRole
WHAT, HEART, WORDS, WHO = 1, 2, 3, 4
"""Columns by number."""


@dataclass(frozen=True)
class NoteRow:
    """A note with the heart rate at its place."""

    note: Note
    heart: HeartThere | None

    @property
    def heart_text(self) -> str:
        at_odds = disagreement(self.note, self.heart)
        words = heart_words(self.heart)
        return tr("{heart}  ·  at odds").format(heart=words) if at_odds else words


NOTE_COLUMNS: Sequence[Column] = (
    words_column(
        mark("Where"), mark("A moment, a stretch, or the whole outing."), lambda row: row.note.place
    ),
    words_column(
        mark("What"),
        mark("The kind with its number or answer; double click to change that."),
        lambda row: row.note.heading,
    ),
    words_column(
        mark("Heart rate there"),
        mark(
            "Mean of the minute before a moment, or of the stretch, and where it lies. "
            "At odds: the talk test says otherwise."
        ),
        lambda row: row.heart_text,
    ),
    words_column(
        mark("Words"),
        mark("What was written; double click or Enter to change it."),
        lambda row: row.note.text.replace("\n", "  "),
    ),
    words_column(mark("Who"), mark("The role of who wrote it."), lambda row: key_name(row.note.author)),
)


class NotesModel(RowsModel):
    """Rows with signs and hover words; some cells can be changed in place."""

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        row: NoteRow = self.row_at(index.row())
        if role == NOTE_ROLE:
            return row.note
        if role == Qt.ItemDataRole.DecorationRole and index.column() == WHAT:
            return sign_icon(row.note.kind, theme.colours.ink)
        if role == Qt.ItemDataRole.ToolTipRole:
            at_odds = disagreement(row.note, row.heart) if index.column() == HEART else ""
            return f"<qt>{html.escape(at_odds)}</qt>" if at_odds else hover_text([row.note])
        return super().data(index, role)

    def sort_value(self, column: int, at: int) -> float | str | None:
        """Places go by their time and heart rates by their mean, not by their words."""
        row: NoteRow = self.rows[at]
        if column == 0:
            return -1.0 if row.note.start_s is None else row.note.start_s
        if column == HEART:
            return None if row.heart is None else row.heart.mean_bpm
        return super().sort_value(column, at)

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        note: Note = self.row_at(index.row()).note
        editable = {
            WHAT: RULES[note.kind].has_value,
            WHO: True,
            # A cell holds one line; more of them are changed in the card.
            WORDS: "\n" not in note.text,
        }
        return flags | Qt.ItemFlag.ItemIsEditable if editable.get(index.column()) else flags


class NoteDelegate(QStyledItemDelegate):
    """Editors for the cells; what was entered is reported, and kept by whoever listens."""

    entered = Signal(object, object)
    """A note and its changed fields by name."""

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        note: Note = index.data(NOTE_ROLE)
        if index.column() == WHAT:
            value = NoteValue(parent)
            value.set_kind(note.kind)
            value.setAutoFillBackground(True)
            value.setFocusProxy(value.page())
            return value
        if index.column() == WHO:
            who = QComboBox(parent)
            for author in Author:
                who.addItem(key_name(author), author.name)
            return who
        words = QLineEdit(parent)
        words.setAccessibleName(tr("Words of the note"))
        return words

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        note: Note = index.data(NOTE_ROLE)
        if isinstance(editor, NoteValue):
            editor.set_value(note.value)
        elif isinstance(editor, QComboBox):
            editor.setCurrentIndex(editor.findData(note.author.name))
        elif isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(note.text)

    def setModelData(self, editor: QWidget, model: object, index: Index) -> None:
        note: Note = index.data(NOTE_ROLE)
        if isinstance(editor, NoteValue):
            self.entered.emit(note, {"value": editor.value()})
        elif isinstance(editor, QComboBox):
            self.entered.emit(note, {"author": Author[editor.currentData()]})
        elif isinstance(editor, QLineEdit):
            self.entered.emit(note, {"text": editor.text().strip()})


LEAST_WORDS_PX, SIGN_ROOM_PX = 80, 22
"""Least width of the words, which are read in full by hovering; room for a sign [project choice]."""


class NotesTable(EditedTable):
    """Picking a row selects the note in the session; cells are changed in place, Delete takes back."""

    spreads = False  # The words take what is left.

    card_requested = Signal(object)
    """A note is to be changed in the card."""

    made_of = NotesModel

    refused = Signal(object, object, str)
    """A note, the fields that were entered, and why they were not taken."""

    def __init__(self, session: Session) -> None:
        delegate = NoteDelegate()
        super().__init__(tr("Notes"), NOTE_COLUMNS, delegate)
        self._session = session
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed)
        # Queued: the table is filled anew by the change, which must not happen inside the editor's end.
        delegate.entered.connect(self._take, Qt.ConnectionType.QueuedConnection)
        self.doubleClicked.connect(self._open)
        changes = session.notes.changed, self._show, session.outing.reviewed
        self._refresh = RefreshWhenSeen(session.steps, self, *changes)
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
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not self.typing:
            self._enter()
        elif event.key() == Qt.Key.Key_Delete and not self.typing:
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
            self.card_requested.emit(note)

    def _open(self, index: QModelIndex) -> None:
        if not index.flags() & Qt.ItemFlag.ItemIsEditable:
            self.card_requested.emit(index.data(NOTE_ROLE))

    def _take(self, note: Note, changes: dict[str, Any]) -> None:
        try:
            self._session.notes.edit(note, **changes)
        except UserError as problem:
            self.refused.emit(note, changes, str(problem))

    def fill(self) -> None:
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
        if self._refresh.stale:
            return
        if picked.kind is not Picked.NOTE:
            self.clearSelection()
        elif self.picked_row() != picked.index and picked.index < len(self.rows.rows):
            self.pick(picked.index)
