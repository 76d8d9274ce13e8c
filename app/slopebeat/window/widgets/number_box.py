"""Boxes for numbers: the decimal sign in force is shown, point and comma are understood; undo inside them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence, QValidator
from PySide6.QtWidgets import QAbstractSpinBox, QDoubleSpinBox, QSpinBox, QWidget

from slopebeat.model import measures
from slopebeat.model.measures import MASS
from slopebeat.window.widgets.parts import compact

UNDO_KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)

Checked = tuple[QValidator.State, str, int]


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
        self._kg = kg
        self.setValue(self._shown(kg))
        self._set = self.value()

    def use_unit(self) -> None:
        """Take the unit in force and keep the mass."""
        kg, scale = self.kg(), MASS.scale
        self._factor = scale.factor
        quiet = self.blockSignals(True)
        self.setDecimals(scale.digits)
        self.setSuffix(f" {scale.unit}")
        low, high = self._ends_kg
        self.setRange(self._shown(low), self._shown(high))
        self.set_kg(kg)
        self.blockSignals(quiet)

    def _shown(self, kg: float) -> float:
        return round(MASS.shown(kg), MASS.scale.digits)


def mass_box(name: str, ends_kg: tuple[float, float], tip: str) -> MassBox:
    """A mass to enter in the unit in force."""
    box = MassBox(*ends_kg)
    box.setKeyboardTracking(False)
    box.setAccessibleName(name)
    box.setToolTip(tip)
    return compact(box)


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
