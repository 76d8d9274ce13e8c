"""The fields a note is entered in: kind, number, place, role and words."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QStackedWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.model.notes import RULES, SPORTS, Author, NoteKind, TalkTest
from slopebeat.plots.outing.notes_signs import sign_icon
from slopebeat.plots.theme import theme
from slopebeat.review.notes.place import WHOLE, place_text
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.notes import Written
from slopebeat.window.widgets.boxes import DecimalBox, choice_box, not_edited
from slopebeat.window.widgets.parts import compact, grid_layout, label, stacked


def unit_of(kind: NoteKind) -> str:
    """The unit of a kind's number as it is shown."""
    measure = RULES[kind].measure
    return measure.unit if measure is not None else tr(RULES[kind].unit)


class NoteValue(QStackedWidget):
    """Shows what the kind asks for; a value that was set and not edited stays as exact as it was."""

    edited = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind = NoteKind.REMARK
        self._exact: float | None = None
        self.nothing = label(tr("words only"), "caption")
        self.box = DecimalBox()
        self.box.setAccessibleName(tr("Number of the note"))
        self.box.setSpecialValueText(tr("not given"))
        self.answer = choice_box(tr("Answer of the note"))
        for page in (self.nothing, self.box, self.answer):
            self.addWidget(page)
        self.box.valueChanged.connect(self.edited)
        self.answer.activated.connect(self.edited)

    def set_kind(self, kind: NoteKind) -> None:
        """Ask for the number of this kind; what was entered for another is forgotten."""
        self.kind = kind
        if RULES[kind].question:
            self._offer(kind)
        elif self._asks:
            self._set_range(kind)
        self.setCurrentWidget(self.page())
        self.set_value(None)

    def _offer(self, kind: NoteKind) -> None:
        self.answer.clear()
        self.answer.setAccessibleName(tr(RULES[kind].question))
        self.answer.addItem(tr("not given"), None)
        if kind is NoteKind.TALK_TEST:
            for talk in sorted(TalkTest, reverse=True):
                self.answer.addItem(talk.wording, float(talk))
            return
        for number, sport in enumerate(SPORTS, start=1):
            self.answer.addItem(key_name(sport), float(number))

    def _set_range(self, kind: NoteKind) -> None:
        rule, measure, step = RULES[kind], RULES[kind].measure, RULES[kind].step
        low, high = (rule.low, rule.high) if measure is None else map(measure.shown, (rule.low, rule.high))
        with not_edited(self.box):
            self.box.setDecimals(1 if measure is None else measure.scale.digits)
            self.box.setSingleStep(step)
            self.box.setSuffix(f" {unit_of(kind)}")
            # The least value of the box stands for none.
            self.box.setRange(low - step, high)

    def page(self) -> QWidget:
        """What is shown: the box, the answers, or that there is no number."""
        return self.answer if RULES[self.kind].question else self.box if self._asks else self.nothing

    @property
    def _asks(self) -> bool:
        return RULES[self.kind].has_value

    def set_value(self, value: float | None) -> None:
        """Show a value in the unit of the rules, or none."""
        self._exact = value
        if RULES[self.kind].question:
            self.answer.setCurrentIndex(max(self.answer.findData(value), 0))
        elif self._asks:
            with not_edited(self.box):
                self.box.setValue(self.box.minimum() if value is None else self._shown(value))

    def value(self) -> float | None:
        """What was entered, in the unit of the rules; None where nothing was."""
        if RULES[self.kind].question:
            answered: float | None = self.answer.currentData()
            return answered
        if not self._asks:
            return None
        self.box.interpretText()
        shown = self.box.value()
        if shown == self.box.minimum():
            return None
        if self._exact is not None and shown == self._shown(self._exact):
            return self._exact
        measure = RULES[self.kind].measure
        return round(shown, 6) if measure is None else round(measure.si(shown), 6)

    def _shown(self, value: float) -> float:
        measure = RULES[self.kind].measure
        return round(value if measure is None else measure.shown(value), self.box.decimals())


KINDS, AUTHORS = tuple(NoteKind), tuple(Author)


class NoteForm(QWidget):
    """Fields without meaning of their own; whoever owns them decides what becomes of the content."""

    author_chosen = Signal()
    kind_chosen = Signal()
    place_chosen = Signal(int)
    """One of the places on offer, by number: whole outing, cursor, visible stretch, selection."""

    place_typed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.kind = choice_box(tr("Kind of note"), "", [(key_name(kind), None) for kind in KINDS])
        self.author = choice_box(
            tr("Role of who writes"), "", [(key_name(author), None) for author in AUTHORS]
        )
        self.place = choice_box(
            tr("What the note is about"),
            tr("A time, two times with a dash between them, or one of the places on offer."),
        )
        self.value = NoteValue()
        self.words = QPlainTextEdit()
        line = self._fill()
        self._lay_out()
        self.kind.activated.connect(self._ask_for_number)
        self.author.activated.connect(self.author_chosen)
        self.place.activated.connect(self.place_chosen)
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

    def _fill(self) -> QLineEdit:
        """Offer what can be chosen; the line in which a place is typed."""
        theme.follow(self._draw_signs)
        places = (tr("whole outing"), tr("at the cursor"), tr("visible stretch"))
        self.place.addItems([*places, tr("selected climb or episode")])
        self.place.setEditable(True)
        self.place.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.place.setCompleter(None)  # type: ignore[arg-type]
        self.words.setAccessibleName(tr("Words of the note"))
        self.words.setPlaceholderText(tr("What was said, felt, measured or met with"))
        self.words.setTabChangesFocus(True)
        line = self.place.lineEdit()
        assert line is not None
        line.setAccessibleName(self.place.accessibleName())
        return line

    def _lay_out(self) -> None:
        grid = grid_layout(4, 4, shares=(5, 4))
        grid.addWidget(self.kind, 0, 0)
        grid.addWidget(self.value, 0, 1)
        grid.addWidget(self.place, 1, 0)
        grid.addWidget(self.author, 1, 1)
        for widget in (self.kind, self.place, self.author):
            widget.setMinimumWidth(60)
        compact(self.value.box)
        self.value.setFixedHeight(28)
        self.words.setMinimumHeight(26)
        stacked(grid, (self.words, 1), of=self, spacing=4)
