"""Beside the band: suggestions while there is none, and keeping one that was typed for the athlete."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QPushButton, QSpinBox, QVBoxLayout, QWidget

from slopebeat.analysis.band.hr_max import AGES
from slopebeat.model.bands import HR_MAX_SHARE, BandMethod
from slopebeat.model.language import tr
from slopebeat.model.people import BandPeriod
from slopebeat.review.first_band import (
    OTHER_WAYS,
    Suggestion,
    band_from_today,
    from_age,
    from_seen,
    highest_trusted,
)
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.aim import MaximumFrom
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import button, compact, label, row


class FirstBand(QWidget):
    """What the highest heart rate and an age suggest, each with its reason and a button to take it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.age = compact(QSpinBox())
        self.age.setRange(int(AGES[0]) - 1, int(AGES[1]))
        self.age.setSpecialValueText("–")
        self.age.setSuffix(f" {tr('years')}")
        self.age.setAccessibleName(tr("Age"))
        self.seen_words, self.age_words = label("", "caption", wrap=True), label("", "caption", wrap=True)
        self.take_seen = button("", tip=tr("Begin with the highest heart rate recorded"))
        self.take_age = button("", tip=tr("Begin with the maximum usual at this age"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addWidget(self.seen_words)
        layout.addWidget(self.take_seen)
        aged = row(label(tr("By age")), spacing=8, stretch_last=True)
        aged.addWidget(self.age, 1)
        layout.addLayout(aged)
        layout.addWidget(self.age_words)
        layout.addWidget(self.take_age)
        layout.addWidget(label(tr(OTHER_WAYS), "caption", wrap=True))
        self.age.valueChanged.connect(self.show_suggestions)
        self.take_seen.clicked.connect(lambda: self._take(self._seen(), MaximumFrom.SEEN))
        self.take_age.clicked.connect(lambda: self._take(self._aged(), MaximumFrom.AGE))
        session.outing.reviewed.connect(self.show_suggestions)
        session.aim.entered_changed.connect(self.show_suggestions)
        session.library.opened.athlete_changed.connect(self._take_age)
        self._take_age()

    def show_suggestions(self) -> None:
        """Only while no band is chosen and an outing is there."""
        aim, review = self._session.aim, self._session.outing.review
        wanted = aim.aim.band is None and not aim.problem and review is not None
        self.setVisible(wanted)
        if not wanted:
            return
        for found, words, take in (
            (self._seen(), self.seen_words, self.take_seen),
            (self._aged(), self.age_words, self.take_age),
        ):
            words.setVisible(found is not None)
            take.setVisible(found is not None)
            if found is not None:
                words.setText(found.reason)
                take.setText(tr("Begin with {band}").format(band=found.band))
            take.setAccessibleName(take.text() or take.toolTip())

    def _take_age(self) -> None:
        """The age of the athlete of the library, where it is known."""
        athlete = self._session.library.opened.athlete
        if athlete is not None and athlete.birth_year is not None:
            self.age.setValue(date.today().year - athlete.birth_year)
        self.show_suggestions()

    def _age_years(self) -> int | None:
        return self.age.value() if self.age.value() > self.age.minimum() else None

    def _seen(self) -> Suggestion | None:
        review = self._session.outing.review
        highest = None if review is None else highest_trusted(review)
        return None if highest is None else from_seen(highest, self._age_years())

    def _aged(self) -> Suggestion | None:
        age = self._age_years()
        return None if age is None else from_age(age)

    def _take(self, found: Suggestion | None, source: MaximumFrom) -> None:
        """Enter the maximum with where it comes from; the entries can be changed and undone."""
        if found is None:
            return
        entered = self._session.aim.entered
        choice = replace(
            entered.choice,
            method=BandMethod.HR_MAX,
            hr_max_bpm=found.hr_max_bpm,
            max_shares=HR_MAX_SHARE,
            maximum_from=source,
            age_years=self._age_years(),
        )
        self._session.edit_aim(replace(entered, choice=choice))


class KeepBand(QPushButton):
    """Offers the band that was typed as the one in force from today, for the athlete whose outing it is."""

    def __init__(
        self, session: Session, today: Callable[[], date] = date.today, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._today = session, today
        self.setToolTip(tr("Outings from today on are reviewed with it; those before keep theirs."))
        self.setAccessibleName(tr("Keep the band from today"))
        self.clicked.connect(self._keep)
        session.outing.reviewed.connect(self.offer)
        session.library.opened.athlete_changed.connect(self.offer)
        self.hide()

    def offer(self) -> None:
        period, athlete = self._period(), self._session.library.opened.athlete
        self.setVisible(period is not None)
        if period is not None and athlete is not None:
            said = tr("For {athlete} from today, {ground}")
            self.setText(said.format(athlete=athlete.name, ground=key_name(period.ground)))

    def minimumSizeHint(self) -> QSize:
        """A long name never widens the column."""
        return QSize(40, super().minimumSizeHint().height())

    def _period(self) -> BandPeriod | None:
        session, review = self._session, self._session.outing.review
        athlete = session.library.opened.athlete
        if review is None or athlete is None or session.keeping.kept_for != athlete.identity:
            return None
        return band_from_today(athlete, session.library.opened.periods, review, self._today())

    def _keep(self) -> None:
        period = self._period()
        if period is not None:
            self._session.library.put_band(period)
