"""What stands in the table of notes, and how a cell is changed."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.notes import RULES, Author, Note
from slopebeat.plots.outing.notes_on_charts import hover_text
from slopebeat.plots.outing.notes_signs import sign_icon
from slopebeat.plots.theme import theme
from slopebeat.review.notes.heart import HeartThere, disagreement, heart_words
from slopebeat.review.words.names import key_name
from slopebeat.window.notes.value import NoteValue
from slopebeat.window.widgets.table import Column, Index, RowsModel

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
    Column(
        mark("Where"),
        mark("A moment, a stretch, or the whole outing."),
        lambda i, r: r.note.place,
        str,
        left=True,
    ),
    Column(
        mark("What"),
        mark("The kind with its number or answer; double click to change that."),
        lambda i, r: r.note.heading,
        str,
        left=True,
    ),
    Column(
        mark("Heart rate there"),
        mark(
            "Mean of the minute before a moment, or of the stretch, and where it lies. "
            "At odds: the talk test says otherwise."
        ),
        lambda i, r: r.heart_text,
        str,
        left=True,
    ),
    Column(
        mark("Words"),
        mark("What was written; double click or Enter to change it."),
        lambda i, r: r.note.text.replace("\n", "  "),
        str,
        left=True,
    ),
    Column(
        mark("Who"), mark("The role of who wrote it."), lambda i, r: key_name(r.note.author), str, left=True
    ),
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
    """Editors for the cells; what was entered is told, and kept by whoever listens."""

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
