"""Band, target and masses, editable in place; every change is reviewed at once."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QFrame, QGridLayout, QSpinBox, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.review.answer import CAUTIONS
from slopebeat.session.outing.aim import BandChoice
from slopebeat.session.session import Session
from slopebeat.session.settings import BIKE_KG, BODY_KG, LOAD_KG
from slopebeat.window.outing.first_band import FirstBand, KeepBand
from slopebeat.window.widgets.band_entry import BandEntry
from slopebeat.window.widgets.number_box import UndoKeys, mass_box
from slopebeat.window.widgets.parts import compact, label, row


class AimEditor(QFrame):
    """Shows the entries of the session's aim and passes edits on."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._session = session
        self._aim = session.aim
        self.band = BandEntry()
        self.result = label("", "figure", tr("The band used, rounded outward to whole beats."), wrap=True)
        self.basis = label("", "caption", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self.target = compact(QSpinBox())
        self.target.setRange(1, 600)
        self.target.setSuffix(" min")
        self.target.setKeyboardTracking(False)
        self.target.setAccessibleName(tr("Target minutes in band"))
        self.target.setToolTip(tr("Minutes in band prescribed for one session."))
        self.body = mass_box(tr("Body mass"), BODY_KG, tr("Work rates are per kilogram of body mass."))
        self.load = mass_box(
            tr("Load carried"),
            LOAD_KG,
            tr("Pack and clothing. Work under a load is an underestimate for packs."),
        )
        self.bike = mass_box(tr("Bike mass"), BIKE_KG, tr("Used for outings on a bike only."))
        self.until = compact(QSpinBox())
        self.until.setRange(0, 6000)
        self.until.setSpecialValueText(tr("never"))
        self.until.setSuffix(" min")
        self.until.setKeyboardTracking(False)
        self.until.setAccessibleName(tr("Load set down after"))
        self.until.setToolTip(tr("Minutes from the start until the load was set down; of this outing only."))
        self.caution = label(tr(CAUTIONS[0]), "caption", "\n".join(tr(c) for c in CAUTIONS), wrap=True)
        self._undo_keys = UndoKeys(self)
        self._undo_keys.watch(self.target, self.body, self.load, self.bike, self.until, *self.band.boxes())
        self._lay_out()
        self._show()
        self.band.edited.connect(self._edit_band)
        self.target.valueChanged.connect(self._edit_rest)
        for box in (self.body, self.load, self.bike, self.until):
            box.valueChanged.connect(self._edit_rest)
        self._aim.entered_changed.connect(self._follow)
        session.display.changed.connect(self._use_units)

    def _lay_out(self) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(6)
        layout.addWidget(label(tr("Heart-rate band"), "heading"))
        self.first, self.keep = FirstBand(self._session, self), KeepBand(self._session, parent=self)
        for widget in (self.band, self.result, self.basis, self.problem, self.keep, self.first):
            layout.addWidget(widget)
        target = row(label(tr("Target in band"), "", self.target.toolTip()), spacing=8, stretch_last=True)
        target.addWidget(self.target, 1)
        layout.addLayout(target)
        masses = QGridLayout()
        masses.setHorizontalSpacing(6)
        masses.setVerticalSpacing(1)
        for column, (words, box) in enumerate(
            ((tr("Body"), self.body), (tr("Load"), self.load), (tr("Bike"), self.bike))
        ):
            masses.addWidget(label(words, "caption", box.toolTip()), 0, column)
            masses.addWidget(box, 1, column)
            masses.setColumnStretch(column, 1)
        layout.addLayout(masses)
        until = row(label(tr("Load set down after"), "", self.until.toolTip()), spacing=8, stretch_last=True)
        until.addWidget(self.until, 1)
        layout.addLayout(until)
        layout.addWidget(self.caution)

    def _follow(self) -> None:
        """What is typed is answered at once; under a hand that moves an edge, with the next frame."""
        if self._aim.trying:
            self._session.steps.later(self._show)
        else:
            self._show()

    def _show(self) -> None:
        entered, aim = self._aim.entered, self._aim.aim
        self.band.show_choice(entered.choice)
        self.result.setText(tr("No band chosen yet") if aim.band is None else str(aim.band).replace("-", "–"))
        basis = "" if aim.band is None else aim.band.basis_words
        self.basis.setText(
            tr("Demo athlete: {basis}").format(basis=basis) if self._aim.for_now and basis else basis
        )
        self.basis.setVisible(bool(self.basis.text()))
        self.problem.setText(self._aim.problem)
        self.problem.setVisible(bool(self._aim.problem))
        rest = entered.rest
        boxes = (self.target, self.body, self.load, self.bike, self.until)
        for box in boxes:
            box.blockSignals(True)
        self.target.setValue(round(rest.target_s / 60))
        self.body.set_kg(rest.body_mass_kg)
        self.load.set_kg(rest.load_kg)
        self.bike.set_kg(rest.bike_mass_kg)
        self.until.setValue(round((rest.load_until_s or 0.0) / 60))
        self.until.setEnabled(rest.load_kg > 0)
        for box in boxes:
            box.blockSignals(False)

    def _use_units(self) -> None:
        for box in (self.body, self.load, self.bike):
            box.use_unit()

    def _edit_band(self, choice: BandChoice) -> None:
        self._session.edit_aim(replace(self._aim.entered, choice=choice))

    def _edit_rest(self) -> None:
        rest = replace(
            self._aim.entered.rest,
            target_s=self.target.value() * 60.0,
            body_mass_kg=self.body.kg(),
            load_kg=self.load.kg(),
            bike_mass_kg=self.bike.kg(),
            load_until_s=self._until_s(),
        )
        self._session.edit_aim(replace(self._aim.entered, rest=rest))

    def _until_s(self) -> float | None:
        """Entered in minutes; seconds that were not entered here are kept while the minutes stay."""
        known = self._aim.entered.rest.load_until_s
        minutes = self.until.value()
        if known is not None and round(known / 60) == minutes:
            return known
        return minutes * 60.0 if minutes else None
