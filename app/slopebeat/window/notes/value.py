"""Entering the number of a note: a box with its unit and range, or one of a few answers."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QStackedWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.model.notes import RULES, SPORTS, NoteKind, TalkTest
from slopebeat.review.words.names import key_name
from slopebeat.window.widgets.number_box import DecimalBox
from slopebeat.window.widgets.parts import label


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
        self.answer = QComboBox()
        self.answer.setAccessibleName(tr("Answer of the note"))
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
        """The answers of a kind that is a choice."""
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
        quiet = self.box.blockSignals(True)
        self.box.setDecimals(1 if measure is None else measure.scale.digits)
        self.box.setSingleStep(step)
        self.box.setSuffix(f" {unit_of(kind)}")
        # The least value of the box stands for none.
        self.box.setRange(low - step, high)
        self.box.blockSignals(quiet)

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
            self.box.blockSignals(True)
            self.box.setValue(self.box.minimum() if value is None else self._shown(value))
            self.box.blockSignals(False)

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
