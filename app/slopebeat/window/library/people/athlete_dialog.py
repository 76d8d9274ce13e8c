"""Adding or editing an athlete: name, masses, prescription."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import (
    QDialog,
    QDoubleSpinBox,
    QFormLayout,
    QLineEdit,
    QSpinBox,
    QWidget,
)

from slopebeat.library.people import new_identity
from slopebeat.model.language import tr
from slopebeat.model.people import Athlete
from slopebeat.review.cautions import CAUTIONS
from slopebeat.window.library.entry_dialog import EntryDialog, Keep
from slopebeat.window.widgets.number_box import own_mass_boxes
from slopebeat.window.widgets.parts import ENTRY_PX, label

OLDEST_YEAR, LATEST_YEAR = 1900, 2100


def _whole(name: str, low: int, high: int, suffix: str, tip: str) -> QSpinBox:
    """A whole number; one under its least value shows that nothing is set."""
    box = QSpinBox()
    box.setRange(low - 1, high)
    box.setSpecialValueText(tr("not set"))
    box.setSuffix(suffix)
    box.setValue(low - 1)
    box.setMinimumWidth(150)
    box.setAccessibleName(name)
    box.setMinimumHeight(ENTRY_PX)
    box.setToolTip(tip)
    return box


def _value(box: QSpinBox) -> int | None:
    return None if box.value() == box.minimum() else box.value()


class AthleteDialog(EntryDialog):
    """The entries of one athlete; ``keep`` is called with them and may refuse with a sentence."""

    def __init__(self, parent: QWidget | None, athlete: Athlete | None, keep: Keep[Athlete]) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Add an athlete") if athlete is None else tr("Edit the athlete"))
        self._athlete = athlete or Athlete(new_identity(), "")
        self._keep = keep
        self.name = QLineEdit(self._athlete.name)
        self.name.setAccessibleName(tr("Name"))
        self.name.setPlaceholderText(tr("A name or a role"))
        self.year = _whole(
            tr("Year of birth"), OLDEST_YEAR, LATEST_YEAR, "", tr("Only for bands found by age.")
        )
        self.sessions = _whole(tr("Sessions a week"), 1, 21, f" {tr('a week')}", tr("As prescribed."))
        self.minutes = _whole(
            tr("Minutes a week"), 1, 5000, f" {tr('min a week')}", tr("Minutes in band, as prescribed.")
        )
        self.body, self.bike = own_mass_boxes()
        self._lay_out()
        self._show()

    @classmethod
    def ask(cls, parent: QWidget, athlete: Athlete | None, keep: Keep[Athlete]) -> bool:
        """Whether an athlete was kept."""
        return cls(parent, athlete, keep).exec() == QDialog.DialogCode.Accepted

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(8)
        rows: tuple[tuple[str, QLineEdit | QSpinBox | QDoubleSpinBox], ...] = (
            (tr("Name"), self.name),
            (tr("Year of birth"), self.year),
            (tr("Sessions prescribed"), self.sessions),
            (tr("Minutes in band prescribed"), self.minutes),
            (tr("Body mass"), self.body),
            (tr("Bike mass"), self.bike),
        )
        for words, box in rows:
            form.addRow(label(words), box)
        self.content.setSpacing(12)
        self.content.addLayout(form)
        dated = tr(
            "Body mass and prescription hold until the first one with a date; those are entered in the week."
        )
        self.content.addWidget(label(dated, "caption", wrap=True))
        self.content.addWidget(label(tr(CAUTIONS[0]), "caption", wrap=True))
        self.setMinimumWidth(430)

    def _show(self) -> None:
        athlete = self._athlete
        for box, value in (
            (self.year, athlete.birth_year),
            (self.sessions, athlete.sessions_per_week),
            (self.minutes, athlete.minutes_per_week),
        ):
            box.setValue(box.minimum() if value is None else round(value))
        self.body.set_kg(athlete.body_mass_kg)
        self.bike.set_kg(athlete.bike_mass_kg)

    def save(self) -> None:
        """Keep the athlete as entered."""
        minutes = _value(self.minutes)
        entered = replace(
            self._athlete,
            name=self.name.text(),
            birth_year=_value(self.year),
            body_mass_kg=self.body.kg(),
            bike_mass_kg=self.bike.kg(),
            sessions_per_week=_value(self.sessions),
            minutes_per_week=None if minutes is None else float(minutes),
        )
        self.keep_entry(self._keep, entered)
