"""Band, target and masses, editable in place, and a first band suggested; each change is reviewed at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QFrame, QPushButton, QWidget

from slopebeat.analysis.band.hr_max import AGES
from slopebeat.model.bands import HR_MAX_SHARE, BandMethod
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.language import tr
from slopebeat.model.people import BandPeriod
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.first_band import (
    OTHER_WAYS,
    Suggestion,
    band_from_today,
    from_age,
    from_seen,
    highest_kept,
    highest_trusted,
)
from slopebeat.review.words.basis import basis_words
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.aim import MaximumFrom
from slopebeat.session.session import Session
from slopebeat.session.settings import LOAD_KG
from slopebeat.window.widgets.band_entry import BandEntry
from slopebeat.window.widgets.boxes import (
    UndoKeys,
    entered,
    mass_box,
    minutes_box,
    not_edited,
    optional_box,
    own_mass_boxes,
    show_number,
)
from slopebeat.window.widgets.dialogs import keep_band
from slopebeat.window.widgets.parts import (
    button,
    compact,
    entries,
    explained_by,
    label,
    row,
    show_words,
    stacked,
)


class FirstBand(QWidget):
    """What the highest heart rate and an age suggest, each with its reason and a button to take it."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self.age = compact(optional_box(tr("Age"), AGES, f" {tr('years')}"))
        self.seen_words, self.age_words = label("", "caption", wrap=True), label("", "caption", wrap=True)
        self.take_seen = button("", tip=tr("Begin with the highest heart rate recorded"))
        self.take_age = button("", tip=tr("Begin with the maximum usual at this age"))
        aged = row(label(tr("By age")), (self.age, 1))
        other = label(tr(OTHER_WAYS), "caption", wrap=True)
        ways = (self.seen_words, self.take_seen, aged, self.age_words, self.take_age, other)
        stacked(*ways, of=self, spacing=4)
        self.age.valueChanged.connect(self.show_suggestions)
        self.take_seen.clicked.connect(lambda: self._take(self._seen(), MaximumFrom.SEEN))
        self.take_age.clicked.connect(lambda: self._take(self._aged(), MaximumFrom.AGE))
        session.outing.reviewed.connect(self.show_suggestions)
        session.aim.entered_changed.connect(self.show_suggestions)
        session.library.opened.athlete_changed.connect(self._take_age)
        session.library.opened.rows_changed.connect(self.show_suggestions)
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
        return entered(self.age)

    def _seen(self) -> Suggestion | None:
        review = self._session.outing.review
        here = None if review is None else highest_trusted(review)
        kept = highest_kept(self._kept_evidence())
        if kept is not None and kept[0] >= (here or 0):
            return from_seen(kept[0], self._age_years(), kept[1])
        return None if here is None else from_seen(here, self._age_years())

    def _kept_evidence(self) -> list[OutingEvidence | None]:
        """Of all outings of the athlete looked at; those of a demo speak of nobody else."""
        session = self._session
        opened, whose = session.library.opened, session.keeping.kept_for
        if opened.athlete is None or (opened.is_demo and whose != opened.athlete.identity):
            return []
        return [None if row.teaching is None else row.teaching.evidence for row in opened.rows]

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

    def __init__(self, session: Session, today: Callable[[], date] = date.today) -> None:
        super().__init__()
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
            text = tr("For {athlete} from today, {ground}")
            self.setText(text.format(athlete=athlete.name, ground=key_name(period.ground)))

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
            keep_band(self.window(), self._session.library, period)


class AimEditor(QFrame):
    """Shows the entries of the session's aim and passes edits on."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.setObjectName("card")
        self._session = session
        self._aim = session.aim
        self.band = BandEntry()
        self.result = label("", "figure", tr("The band used, rounded outward to whole beats."), wrap=True)
        self.basis = label("", "caption", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self.target = minutes_box(
            tr("Target minutes in band"), tr("Minutes in band prescribed for one session."), (1, 600)
        )
        self.body, self.bike = own_mass_boxes()
        self.load = mass_box(
            tr("Load carried"),
            LOAD_KG,
            tr("Pack and clothing. Work under a load is an underestimate for packs."),
        )
        self.until = minutes_box(
            tr("Load set down after"),
            tr("Minutes from the start until the load was set down; of this outing only."),
            (0, 6000),
            tr("never"),
        )
        self.caution = label(tr(CAUTIONS[0]), "caption", "\n".join(tr(c) for c in CAUTIONS), wrap=True)
        self._undo_keys = UndoKeys(self)
        self._undo_keys.watch(self.target, self.body, self.load, self.bike, self.until, *self.band.boxes())
        self._lay_out()
        self._show()
        self.band.edited.connect(session.edit_band)
        self.target.valueChanged.connect(self._edit_rest)
        for box in (self.body, self.load, self.bike, self.until):
            box.valueChanged.connect(self._edit_rest)
        self._aim.entered_changed.connect(self._follow)
        session.display.changed.connect(self._use_units)

    def _lay_out(self) -> None:
        explained_by("band", self)
        for box in (self.body, self.load, self.bike, self.until):
            explained_by("masses", box)
        self.first, self.keep = FirstBand(self._session, self), KeepBand(self._session)
        stacked(
            label(tr("Heart-rate band"), "heading"),
            *(self.band, self.result, self.basis, self.problem, self.keep, self.first),
            row(label(tr("Target in band"), "", self.target.toolTip()), (self.target, 1)),
            entries((tr("Body"), self.body), (tr("Load"), self.load), (tr("Bike"), self.bike)),
            row(label(tr("Load set down after"), "", self.until.toolTip()), (self.until, 1)),
            self.caution,
            of=self,
            margins=(12, 10, 12, 10),
            spacing=6,
        )

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
        basis = "" if aim.band is None else basis_words(aim.band)
        demo = tr("Demo athlete: {basis}").format(basis=basis)
        show_words(self.basis, demo if self._aim.for_now and basis else basis)
        show_words(self.problem, self._aim.problem)
        rest = entered.rest
        boxes = (self.target, self.body, self.load, self.bike, self.until)
        with not_edited(*boxes):
            show_number(self.target, round(rest.target_s / 60))
            self.body.set_kg(rest.body_mass_kg)
            self.load.set_kg(rest.load_kg)
            self.bike.set_kg(rest.bike_mass_kg)
            show_number(self.until, round((rest.load_until_s or 0.0) / 60))
        self.until.setEnabled(rest.load_kg > 0)

    def _use_units(self) -> None:
        for box in (self.body, self.load, self.bike):
            box.use_unit()

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
