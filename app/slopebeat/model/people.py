"""Athletes, what they are prescribed, and the bands in force over time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from msgspec import Meta

from slopebeat.model.athlete import DEFAULT_BIKE_MASS_KG, DEFAULT_BODY_MASS_KG
from slopebeat.model.bands import Band
from slopebeat.model.recording import Ground as Ground


@dataclass(frozen=True)
class Athlete:
    """One person whose outings are kept.

    Attributes
    ----------
    identity : a UUID in text, the same wherever the athlete's archive is opened.
    name : as the user writes it; the demo names roles only.
    sessions_per_week, minutes_per_week : the prescription, None until there is one.

    What lies outside the limits of a field was never entered: what holds it is damaged [project choice].
    """

    identity: str
    name: str
    birth_year: Annotated[int, Meta(ge=1800, le=2200)] | None = None
    body_mass_kg: Annotated[float, Meta(ge=1.0, le=1000.0)] = DEFAULT_BODY_MASS_KG
    bike_mass_kg: Annotated[float, Meta(ge=0.0, le=1000.0)] = DEFAULT_BIKE_MASS_KG
    sessions_per_week: Annotated[int, Meta(ge=0, le=1000)] | None = None
    minutes_per_week: Annotated[float, Meta(ge=0.0, le=1e5)] | None = None


@dataclass(frozen=True)
class BandPeriod:
    """A band in force from a day on, for one kind of ground, until the next period begins."""

    athlete: str
    ground: Ground
    from_day: date
    band: Band


def band_in_force(periods: tuple[BandPeriod, ...], ground: Ground, day: date) -> Band | None:
    """The band of the latest period that began on or before ``day``; None when none did."""
    begun = [p for p in periods if p.ground is ground and p.from_day <= day]
    return max(begun, key=lambda p: p.from_day).band if begun else None
