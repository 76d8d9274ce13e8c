"""The fields a note is entered in: kind, number, place, role and words."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QPlainTextEdit, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.model.notes import RULES, Author, NoteKind
from slopebeat.plots.outing.notes_signs import sign_icon
from slopebeat.plots.theme import theme
from slopebeat.review.notes.place import WHOLE, place_text
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.notes import Written
from slopebeat.window.notes.value import NoteValue
from slopebeat.window.widgets.parts import compact

KINDS, AUTHORS = tuple(NoteKind), tuple(Author)


class NoteForm(QWidget):
    """Fields without meaning of their own; whoever owns them decides what becomes of the content."""

    author_chosen = Signal()
    kind_chosen = Signal()
    place_chosen = Signal(int)
    """One of the places on offer, by number: whole outing, cursor, visible stretch, selection."""

    place_typed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind, self.author, self.place = QComboBox(), QComboBox(), QComboBox()
        self.value = NoteValue()
        self.words = QPlainTextEdit()
        self._fill()
        self._name()
        self._lay_out()
        self.kind.activated.connect(self._ask_for_number)
        self.author.activated.connect(self.author_chosen)
        self.place.activated.connect(self.place_chosen)
        line = self.place.lineEdit()
        assert line is not None
        line.editingFinished.connect(self.place_typed)

    def _draw_signs(self) -> None:
        for at, kind in enumerate(KINDS):
            self.kind.setItemIcon(at, sign_icon(kind, theme.colours.ink))

    def written(self) -> Written:
        """What stands in the fields now."""
        return Written(
            KINDS[self.kind.currentIndex()],
            self.value.value(),
            AUTHORS[self.author.currentIndex()],
            self.place.currentText(),
            self.words.toPlainText(),
        )

    def show_written(self, now: Written) -> None:
        """Fill the fields."""
        self.kind.setCurrentIndex(KINDS.index(now.kind))
        self.value.set_kind(now.kind)
        self.value.set_value(now.value)
        self.author.setCurrentIndex(AUTHORS.index(now.author))
        self.place.setEditText(now.place or place_text(WHOLE))
        self.words.setPlainText(now.text)

    def focus_content(self) -> None:
        """Put the keyboard where the content is entered: the number where one is missing, else the words."""
        number_missing = RULES[self.value.kind].needs_value and self.value.value() is None
        target = self.value.page() if number_missing else self.words
        target.setFocus(Qt.FocusReason.OtherFocusReason)
        if target is self.value.box:
            self.value.box.selectAll()

    def _ask_for_number(self) -> None:
        kind = KINDS[self.kind.currentIndex()]
        if kind is not self.value.kind:
            self.value.set_kind(kind)
        self.kind_chosen.emit()

    def _fill(self) -> None:
        for kind in KINDS:
            self.kind.addItem(key_name(kind))
        theme.follow(self._draw_signs)
        for author in AUTHORS:
            self.author.addItem(key_name(author))
        for words in (
            tr("whole outing"),
            tr("at the cursor"),
            tr("visible stretch"),
            tr("selected climb or episode"),
        ):
            self.place.addItem(words)
        self.place.setEditable(True)
        self.place.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.place.setCompleter(None)  # type: ignore[arg-type]

    def _name(self) -> None:
        self.kind.setAccessibleName(tr("Kind of note"))
        self.author.setAccessibleName(tr("Role of who writes"))
        self.place.setAccessibleName(tr("What the note is about"))
        line = self.place.lineEdit()
        assert line is not None
        line.setAccessibleName(tr("What the note is about"))
        self.place.setToolTip(
            tr("A time, two times with a dash between them, or one of the places on offer.")
        )
        self.words.setAccessibleName(tr("Words of the note"))
        self.words.setPlaceholderText(tr("What was said, felt, measured or met with"))
        self.words.setTabChangesFocus(True)

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(4)
        grid = QGridLayout()
        grid.setSpacing(4)
        grid.addWidget(self.kind, 0, 0)
        grid.addWidget(self.value, 0, 1)
        grid.addWidget(self.place, 1, 0)
        grid.addWidget(self.author, 1, 1)
        grid.setColumnStretch(0, 5)
        grid.setColumnStretch(1, 4)
        for widget in (self.kind, self.place, self.author):
            widget.setMinimumWidth(60)
        compact(self.value.box)
        self.value.setFixedHeight(28)
        outer.addLayout(grid)
        self.words.setMinimumHeight(26)
        outer.addWidget(self.words, 1)
