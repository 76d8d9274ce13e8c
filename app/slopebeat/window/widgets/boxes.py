"""Boxes to choose and to type in: numbers with point and comma alike, entries filled without an edit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence, QValidator
from PySide6.QtWidgets import QAbstractSpinBox, QComboBox, QDoubleSpinBox, QSpinBox, QWidget

from slopebeat.model import measures
from slopebeat.model.language import tr
from slopebeat.model.measures import MASS
from slopebeat.session.settings import BIKE_KG, BODY_KG
from slopebeat.window.widgets.parts import ENTRY_PX, compact

NumberBox = TypeVar("NumberBox", bound=QAbstractSpinBox)

UNDO_KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)

Checked = tuple[QValidator.State, str, int]


@contextmanager
def not_edited(*boxes: QObject) -> Iterator[None]:
    """What these show is set by the program meanwhile: none of them tells of an edit."""
    before = [box.blockSignals(True) for box in boxes]
    try:
        yield
    finally:
        for box, was_quiet in zip(boxes, before, strict=True):
            box.blockSignals(was_quiet)


def entry_box(box: NumberBox, name: str, tip: str = "") -> NumberBox:
    """A number box as an entry of a form, with its name for those who hear the screen.

    It tells of a number once it is whole: typing 112 would else review with 1 and 11 on the way.
    """
    box.setKeyboardTracking(False)
    box.setAccessibleName(name)
    box.setToolTip(tip)
    return compact(box)


def choice_box(
    name: str, tip: str = "", choices: Iterable[tuple[str, object]] = (), least_letters: int = 0
) -> QComboBox:
    """A list to choose from, its words each with what it stands for.

    With ``least_letters`` it may be as narrow as so many letters; the list that opens shows them all.
    """
    box = QComboBox()
    box.setAccessibleName(name)
    box.setToolTip(tip)
    if least_letters:
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(least_letters)
    for words, meaning in choices:
        box.addItem(words, meaning)
    return box


def optional_box(
    name: str, ends: tuple[float, float], suffix: str = "", unset: str = "–", tip: str = ""
) -> QSpinBox:
    """A whole number; one under its least value, shown as ``unset``, stands for none."""
    box = QSpinBox()
    box.setRange(int(ends[0]) - 1, int(ends[1]))
    box.setSpecialValueText(unset)
    box.setSuffix(suffix)
    box.setValue(box.minimum())
    box.setAccessibleName(name)
    box.setToolTip(tip)
    box.setMinimumHeight(ENTRY_PX)
    return box


def entered(box: QSpinBox) -> int | None:
    """The number in such a box; None where none is set."""
    return None if box.value() == box.minimum() else box.value()


def enter(box: QSpinBox, value: float | None) -> None:
    """Show a number in such a box, or none."""
    show_number(box, box.minimum() if value is None else round(value))


def show_number(box: QSpinBox, number: int) -> None:
    """Show a number: a box is painted anew for what it shows already, too, and takes a while.

    In a box that is typed in, it takes the place of what was typed and not entered yet.
    """
    if number != box.value() or box.hasFocus():
        box.setValue(number)


def minutes_box(name: str, tip: str, ends: tuple[int, int], unset: str = "", step: int = 1) -> QSpinBox:
    """Whole minutes to enter; ``unset`` is shown in the place of the least."""
    box = entry_box(QSpinBox(), name, tip)
    box.setRange(*ends)
    box.setSuffix(" min")
    box.setSingleStep(step)
    box.setSpecialValueText(unset)
    return box


class DecimalBox(QDoubleSpinBox):
    """A number typed with a point or a comma: a comma taken for a thousands sign would make 72,5 into 725."""

    def textFromValue(self, value: float) -> str:
        return f"{value:.{self.decimals()}f}".replace(".", measures.decimal_sign())

    def valueFromText(self, text: str) -> float:
        typed = self._figure(text).replace(",", ".")
        try:
            return float(typed)
        except ValueError:
            return self.minimum()

    def validate(self, text: str, position: int) -> Checked:
        """Typing is never refused on the way to a number; what is no number cannot become the value."""
        typed = self._figure(text).replace(",", ".")
        if self.specialValueText() and text == self.specialValueText():
            return QValidator.State.Acceptable, text, position
        if typed in ("", "-", ".", "-."):
            return QValidator.State.Intermediate, text, position
        whole, _, part = typed.partition(".")
        digits = whole.removeprefix("-")
        if not (digits + part).isdigit() or not typed.isascii() or len(part) > self.decimals():
            return QValidator.State.Invalid, text, position
        value = float(typed)
        inside = self.minimum() <= value <= self.maximum()
        return QValidator.State.Acceptable if inside else QValidator.State.Intermediate, text, position

    def _figure(self, text: str) -> str:
        return text.removeprefix(self.prefix()).removesuffix(self.suffix()).strip()


class MassBox(DecimalBox):
    """A mass in the unit in force; a value that was set and not edited stays exact to the gram."""

    def __init__(self, least_kg: float, most_kg: float, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ends_kg = (least_kg, most_kg)
        self._kg = self._set = least_kg
        self._factor = MASS.scale.factor
        self.use_unit()

    def kg(self) -> float:
        """What was set, or what was typed since."""
        if self.value() == self._set:
            return self._kg
        low, high = self._ends_kg
        return min(max(self.value() / self._factor, low), high)

    def set_kg(self, kg: float) -> None:
        # As in show_number.
        if kg != self._kg or self.value() != self._set or self.hasFocus():
            self._put(kg)

    def _put(self, kg: float) -> None:
        self._kg = kg
        self.setValue(self._shown(kg))
        self._set = self.value()

    def use_unit(self) -> None:
        """Take the unit in force and keep the mass."""
        kg, scale = self.kg(), MASS.scale
        self._factor = scale.factor
        low, high = self._ends_kg
        with not_edited(self):
            self.setDecimals(scale.digits)
            self.setSuffix(f" {scale.unit}")
            self.setRange(self._shown(low), self._shown(high))
            self._put(kg)

    def _shown(self, kg: float) -> float:
        return round(MASS.shown(kg), MASS.scale.digits)


def mass_box(name: str, ends_kg: tuple[float, float], tip: str) -> MassBox:
    """A mass to enter in the unit in force."""
    return entry_box(MassBox(*ends_kg), name, tip)


def own_mass_boxes() -> tuple[MassBox, MassBox]:
    """Body and bike, as every form asks for them."""
    return (
        mass_box(tr("Body mass"), BODY_KG, tr("Work rates are per kilogram of body mass.")),
        mass_box(tr("Bike mass"), BIKE_KG, tr("Used for outings on a bike only.")),
    )


def is_edited(box: QSpinBox | QDoubleSpinBox) -> bool:
    """Whether something is typed that has not become the value yet."""
    if box.specialValueText() and box.value() == box.minimum():
        return box.text() != box.specialValueText()
    words = box.textFromValue(box.value())  # type: ignore[arg-type]
    return box.text() != f"{box.prefix()}{words}{box.suffix()}"


class UndoKeys(QObject):
    """A number box keeps these keys for its own text. Once its value is taken they are the window's."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() is not QEvent.Type.ShortcutOverride:
            return False
        typed = any(event.matches(key) for key in UNDO_KEYS)
        if not typed or not isinstance(watched, QSpinBox | QDoubleSpinBox) or is_edited(watched):
            return False
        event.ignore()
        return True

    def watch(self, *boxes: QAbstractSpinBox) -> None:
        for box in boxes:
            box.installEventFilter(self)
