"""The band, the target and the masses as the user enters them."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import Annotated

from msgspec import Meta
from PySide6.QtCore import QObject, Signal

from slopebeat.analysis.band.hr_max import USUAL_FORMULA
from slopebeat.model.bands import (
    HR_MAX_SHARE,
    RESERVE_SHARE,
    Band,
    BandMethod,
    band_from_hr_max,
    band_from_reserve,
)
from slopebeat.model.basis import AGE, SEEN_MAXIMUM, Basis
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.message import KeyEnum
from slopebeat.model.people import Aim
from slopebeat.session.undo import Change

Bpm = Annotated[int, Meta(ge=20, le=260)]
Share = Annotated[float, Meta(ge=0.01, le=1.0)]
"""What can be kept of what was entered [project choice]."""


class MaximumFrom(KeyEnum):
    """Where the maximal heart rate that was entered comes from."""

    TYPED = "typed"
    SEEN = "seen"
    AGE = "age"


@dataclass(frozen=True)
class BandChoice:
    """What was entered to find a band; None where nothing was entered yet.

    The entries of every method are kept, so that switching the method back and forth loses nothing.
    ``age_years`` is what the maximum was derived from where it comes from an age.
    """

    method: BandMethod = BandMethod.MANUAL
    lower_bpm: Bpm | None = None
    upper_bpm: Bpm | None = None
    hr_max_bpm: Bpm | None = None
    hr_rest_bpm: Bpm | None = None
    max_shares: tuple[Share, Share] = HR_MAX_SHARE
    reserve_shares: tuple[Share, Share] = RESERVE_SHARE
    maximum_from: MaximumFrom = MaximumFrom.TYPED
    age_years: Annotated[int, Meta(ge=10, le=100)] | None = None

    def band(self) -> Band | None:
        """The band these entries give; None while one is missing.

        Raises
        ------
        UserError
            When the entries contradict each other.
        """
        if self.method not in (BandMethod.HR_MAX, BandMethod.RESERVE):
            if self.lower_bpm is None or self.upper_bpm is None:
                return None
            return Band(self.lower_bpm, self.upper_bpm, self.method)
        if self.hr_max_bpm is None:
            return None
        if self.method is BandMethod.HR_MAX:
            band = band_from_hr_max(self.hr_max_bpm, self.max_shares)
            return replace(band, basis=self._called(band.basis))
        if self.hr_rest_bpm is None:
            return None
        return band_from_reserve(self.hr_max_bpm, self.hr_rest_bpm, self.reserve_shares)

    def _called(self, basis: Basis) -> Basis:
        if self.maximum_from is MaximumFrom.AGE and self.age_years is not None:
            return basis.called(AGE, formula=USUAL_FORMULA.name, age_years=float(self.age_years))
        return basis.called(SEEN_MAXIMUM) if self.maximum_from is MaximumFrom.SEEN else basis


@dataclass(frozen=True)
class Entered:
    """All the user can set: how the band is found, and the rest of the aim (its band is ignored)."""

    choice: BandChoice = BandChoice()
    rest: Aim = field(default_factory=Aim)


class AimState(QObject):
    """The aim in force. ``changed`` says the aim differs; ``entered_changed`` that any entry does.

    While an edge is dragged its entries are only tried (:meth:`try_out`): everything shows them, nothing
    keeps them. ``let_go`` says that this has ended.

    A demo brings the aim of its invented athlete along (:meth:`use_for_now`); the user's own is kept apart
    and comes back with :meth:`give_back`.
    """

    changed = Signal()
    entered_changed = Signal()
    let_go = Signal()

    def __init__(self, entered: Entered | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.entered = entered or Entered()
        self.own = self.entered
        self.for_now = False
        self.band_apart = False
        """Whether the band in force is one of the bike alone, and becomes nobody's usual one."""
        self.problem = ""
        self.aim = Aim()
        self._before_trying: Entered | None = None
        self._update()

    def enter(self, entered: Entered) -> None:
        """Take new entries; entries that contradict each other leave no band and say why."""
        self._before_trying = None
        if not self.for_now:
            self.own = replace(entered, choice=self.own.choice) if self.band_apart else entered
        self._take(entered)

    @property
    def trying(self) -> bool:
        """Whether the entries in force are only tried."""
        return self._before_trying is not None

    def try_out(self, entered: Entered) -> None:
        """Show what these entries would mean, until they are entered or given up."""
        if self._before_trying is None:
            self._before_trying = self.entered
        self._take(entered)

    def end_trying(self) -> tuple[Entered, Entered] | None:
        """Go on without trying: the entries of before and those tried last; None when nothing was tried."""
        before, self._before_trying = self._before_trying, None
        if before is None:
            return None
        self.let_go.emit()
        return before, self.entered

    def use_for_now(self, entered: Entered) -> None:
        """Work with somebody else's aim for now."""
        self.for_now = True
        self._take(entered)

    def show(self, entered: Entered) -> None:
        """Work with these entries, which nobody typed just now: they become nobody's own."""
        self._before_trying = None
        self._take(entered)

    def give_back(self) -> None:
        """Return to the user's own aim."""
        self.for_now = False
        self._take(self.own)

    def _take(self, entered: Entered) -> None:
        before = self.aim
        self.entered = entered
        self._update()
        self.entered_changed.emit()
        if self.aim != before:
            self.changed.emit()

    def _update(self) -> None:
        self.aim, self.problem = aim_of(self.entered)


def aim_of(entered: Entered) -> tuple[Aim, str]:
    """The aim that entries give; where they contradict each other without a band, and a sentence why."""
    try:
        return replace(entered.rest, band=entered.choice.band()), ""
    except UserError as error:
        return replace(entered.rest, band=None), str(error)


AIM_WORDS = {
    "target_s": mark("change of the target"),
    "body_mass_kg": mark("change of the body mass"),
    "load_kg": mark("change of the load"),
    "bike_mass_kg": mark("change of the bike mass"),
    "load_until_s": mark("change of the time the load was set down"),
    "drift_threshold_percent": mark("change of the limit of the decoupling"),
}


def aim_act(aim: AimState, before: Entered, after: Entered) -> Change[Entered]:
    """The act that takes other entries for the aim."""
    words = mark("change of the aim")
    if before.choice != after.choice:
        words = mark("change of the band")
    else:
        names = (entry.name for entry in fields(after.rest))
        other = next((n for n in names if getattr(before.rest, n) != getattr(after.rest, n)), "")
        words = AIM_WORDS.get(other, words)
    return Change(tr(words), before, after, aim.enter)
