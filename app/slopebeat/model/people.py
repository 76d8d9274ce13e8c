"""Athletes, what they are prescribed, the bands in force over time, and the aim of one review."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import inf
from typing import TYPE_CHECKING, Annotated

from msgspec import Meta

from slopebeat.model.bands import Band
from slopebeat.model.message import KeyEnum
from slopebeat.model.recording import Ground as Ground

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

DEFAULT_BODY_MASS_KG = 75.0
"""Stated default until the user gives a body mass [project choice]."""

DEFAULT_BIKE_MASS_KG = 14.0
"""Stated default mass of a mountain bike [project choice]."""

DEFAULT_TARGET_S = 45 * 60.0
"""Stated default for the prescribed time in band of one session [project choice]."""

DEFAULT_DRIFT_THRESHOLD_PERCENT = 5.0
"""Decoupling under which the band's upper edge passes a drift test; common practice, not validated."""


@dataclass(frozen=True)
class Aim:
    """Band, target and masses one outing is reviewed with.

    Attributes
    ----------
    band : None until the user has chosen one: it is asked, never silently assumed.
    target_s : prescribed time in band. body_mass_kg, bike_mass_kg : masses moved.
    load_kg : load carried from the start until ``load_until_s``, or throughout where that is None.
    drift_threshold_percent : decoupling that is still called little, the user's choice.
    """

    band: Band | None = None
    target_s: float = DEFAULT_TARGET_S
    body_mass_kg: float = DEFAULT_BODY_MASS_KG
    load_kg: float = 0.0
    bike_mass_kg: float = DEFAULT_BIKE_MASS_KG
    load_until_s: float | None = None
    drift_threshold_percent: float = DEFAULT_DRIFT_THRESHOLD_PERCENT

    def load_at(self, t_s: NDArray[np.float64]) -> NDArray[np.floating]:
        """Load carried at each time, kg."""
        until = inf if self.load_until_s is None else self.load_until_s
        return (t_s < until) * float(self.load_kg)


BodyMassKg = Annotated[float, Meta(ge=1.0, le=1000.0)]
Minutes = Annotated[float, Meta(ge=0.0, le=1e5)]
Sessions = Annotated[int, Meta(ge=0, le=1000)]
"""What lies outside these limits was never entered: what holds it is damaged [project choice]."""


@dataclass(frozen=True)
class Athlete:
    """One person whose outings are kept.

    Attributes
    ----------
    identity : a UUID in text, the same wherever the athlete's archive is opened.
    name : as the user writes it; the demo names roles only.
    sessions_per_week, minutes_per_week, body_mass_kg : what holds until the first one with a date does; None
        where nothing is prescribed.
    """

    identity: str
    name: str
    birth_year: Annotated[int, Meta(ge=1800, le=2200)] | None = None
    body_mass_kg: BodyMassKg = DEFAULT_BODY_MASS_KG
    bike_mass_kg: Annotated[float, Meta(ge=0.0, le=1000.0)] = DEFAULT_BIKE_MASS_KG
    sessions_per_week: Sessions | None = None
    minutes_per_week: Minutes | None = None


@dataclass(frozen=True)
class BandPeriod:
    """A band in force from a day on, for one kind of ground, until the next period begins."""

    athlete: str
    ground: Ground
    from_day: date
    band: Band


def period_in_force(periods: tuple[BandPeriod, ...], ground: Ground, day: date) -> BandPeriod | None:
    """The latest period that began on or before ``day``; None when none did."""
    started = [p for p in periods if p.ground is ground and p.from_day <= day]
    return max(started, key=lambda p: p.from_day, default=None)


def band_in_force(periods: tuple[BandPeriod, ...], ground: Ground, day: date) -> Band | None:
    """The band of that period."""
    period = period_in_force(periods, ground, day)
    return None if period is None else period.band


@dataclass(frozen=True)
class Prescription:
    """What is prescribed a week from a day on, until the next prescription begins.

    Attributes
    ----------
    minutes_per_week : in band. sessions_per_week : that hold enough of them.
    most_above_minutes : a week, over the band, from which it is too much: the user's own limit.

    None where nothing was prescribed.
    """

    athlete: str
    from_day: date
    minutes_per_week: Minutes | None = None
    sessions_per_week: Sessions | None = None
    most_above_minutes: Minutes | None = None


def session_target_s(prescribed: Prescription | None) -> float:
    """Time in band of one session: the week's minutes over its sessions, else the stated default."""
    if prescribed is None or not prescribed.minutes_per_week or not prescribed.sessions_per_week:
        return DEFAULT_TARGET_S
    return 60.0 * prescribed.minutes_per_week / prescribed.sessions_per_week


@dataclass(frozen=True)
class BodyMass:
    """A body mass from a day on, until the next one."""

    athlete: str
    from_day: date
    body_mass_kg: BodyMassKg


class PhaseKind(KeyEnum):
    """What months are made of beside ordinary weeks."""

    BLOCK = "block"
    CAMP = "camp"
    ILLNESS = "illness"


@dataclass(frozen=True)
class Phase:
    """Days with a name, both ends inside; ``last_day`` is None while it goes on.

    ``identity`` is a UUID in text, ``text`` what the user calls it.
    """

    identity: str
    athlete: str
    kind: PhaseKind
    first_day: date
    last_day: date | None = None
    text: str = ""

    def holds(self, day: date) -> bool:
        return self.first_day <= day and (self.last_day is None or day <= self.last_day)


def first_day_of(entry: BandPeriod | Prescription | BodyMass | Phase) -> date:
    """The day from which what has dates holds."""
    return entry.first_day if isinstance(entry, Phase) else entry.from_day


@dataclass(frozen=True)
class Dated:
    """What holds for an athlete at times: each until the next of its kind; phases while they last."""

    prescriptions: tuple[Prescription, ...] = ()
    masses: tuple[BodyMass, ...] = ()
    phases: tuple[Phase, ...] = ()


def prescription_in_force(athlete: Athlete, dated: Dated, day: date) -> Prescription:
    """The latest prescription that began on or before ``day``, else what the athlete began with."""
    started = [each for each in dated.prescriptions if each.from_day <= day]
    if started:
        return max(started, key=lambda each: each.from_day)
    return Prescription(athlete.identity, date.min, athlete.minutes_per_week, athlete.sessions_per_week)


def body_mass_in_force(athlete: Athlete, dated: Dated, day: date) -> float:
    """The body mass of a day, kg, in the same way."""
    started = [each for each in dated.masses if each.from_day <= day]
    return max(started, key=lambda each: each.from_day).body_mass_kg if started else athlete.body_mass_kg
