"""The outing judged as a drift test of the band's upper edge, with the threshold to edit."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from slopebeat.analysis.band.drift_test import DriftTest, DriftTestOutcome
from slopebeat.model.language import mark, tr
from slopebeat.model.people import BandPeriod
from slopebeat.review.words.messages import say, say_all
from slopebeat.review.words.names import key_name
from slopebeat.session.session import Session
from slopebeat.window.widgets.number_box import DecimalBox, UndoKeys
from slopebeat.window.widgets.parts import button, explained_by, label, row
from slopebeat.window.widgets.wrapping import WrappingRow

NO_BAND = mark("Choose a band to have the outing judged as a test of its upper edge.")
CONVENTION = mark(
    "5 % is common practice; no study found validates it. The test is an hour at steady output on level "
    "ground with the heart rate at the upper edge."
)


def outcome_words(found: DriftTest | None) -> str:
    """The outcome, its figure and every reason."""
    if found is None:
        return tr(NO_BAND)
    if found.outcome is DriftTestOutcome.NOT_A_TEST:
        return "\n".join(
            [tr("This outing is no drift test:"), *(f"•  {say(reason)}" for reason in found.reasons)]
        )
    return say_all(found.sentences)


class DriftTestBox(QFrame):
    """One sentence, or the reasons against reading the outing as a test."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._aim = session.aim
        explained_by("drift_test", self)
        self.threshold = DecimalBox()
        self.threshold.setRange(0.5, 20.0)
        self.threshold.setSingleStep(0.5)
        self.threshold.setDecimals(1)
        self.threshold.setSuffix(" %")
        self.threshold.setKeyboardTracking(False)
        self.threshold.setMinimumHeight(26)
        self.threshold.setAccessibleName(tr("Drift threshold"))
        self.threshold.setToolTip(tr(CONVENTION))
        self.words = label("", wrap=True)
        self.words.setAccessibleName(tr("Drift test"))
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.keep = button("")
        self.keep.setAccessibleName(tr("Keep this band"))
        self.keep.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 2, 14, 8)
        layout.setSpacing(3)
        layout.addLayout(
            WrappingRow(
                label(tr("Drift test of the upper edge"), "heading"),
                label(tr("decoupling called little: under"), "caption", tr(CONVENTION)),
                self.threshold,
                label(tr("common practice, not validated"), "caption", tr(CONVENTION)),
            )
        )
        layout.addWidget(self.words)
        layout.addLayout(row(self.keep))
        self._undo_keys = UndoKeys(self)
        self._undo_keys.watch(self.threshold)
        self._show_threshold()
        self.threshold.valueChanged.connect(self._edit)
        self.keep.clicked.connect(self._keep)
        self._aim.entered_changed.connect(self._show_threshold)
        session.library.opened.athlete_changed.connect(self._offer)

    def show_test(self, found: DriftTest | None) -> None:
        self.words.setText(outcome_words(found))
        self._offer()

    def _tested(self) -> BandPeriod | None:
        review = self._session.outing.review
        return None if review is None else self._session.library.tested_band(review)

    def _offer(self) -> None:
        """A band that passed can be kept, for the athlete who is named on the button."""
        period, athlete = self._tested(), self._session.library.opened.athlete
        self.keep.setVisible(period is not None)
        if period is not None and athlete is not None:
            words = tr("Keep {band} for {athlete} {ground} from {day} on").format(
                band=period.band, athlete=athlete.name, ground=key_name(period.ground), day=period.from_day
            )
            self.keep.setText(words)
            self.keep.setAccessibleName(words)
            self.keep.setToolTip(tr(CONVENTION))

    def _keep(self) -> None:
        period = self._tested()
        if period is not None:
            self._session.library.put_band(period)

    def _show_threshold(self) -> None:
        self.threshold.blockSignals(True)
        self.threshold.setValue(self._aim.entered.rest.drift_threshold_percent)
        self.threshold.blockSignals(False)

    def _edit(self, percent: float) -> None:
        entered = self._aim.entered
        self._session.edit_aim(replace(entered, rest=replace(entered.rest, drift_threshold_percent=percent)))
