"""Heart-rate bands and the ways to find one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slopebeat.model.basis import MAXIMUM, NOTHING_STATED, RESERVE, Basis
from slopebeat.model.basis import BandMethod as BandMethod
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import figure, shortest_number

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

HR_MAX_SHARE = (0.60, 0.70)
"""Share of maximal heart rate for low-intensity aerobic work; common practice, no source."""

RESERVE_SHARE = (0.40, 0.59)
"""Share of heart-rate reserve called moderate by the ACSM table (Garber et al. 2011)."""

PLAUSIBLE_BPM = (30.0, 230.0)
"""Heart rates outside this range are not taken for a person's [project choice]."""


@dataclass(frozen=True)
class Band:
    """A heart-rate band in whole beats per minute; both edges are inside."""

    lower_bpm: int
    upper_bpm: int
    method: BandMethod = BandMethod.MANUAL
    basis: Basis = NOTHING_STATED

    def __post_init__(self) -> None:
        low, high = PLAUSIBLE_BPM
        if not low <= self.lower_bpm < self.upper_bpm <= high:
            raise UserError(
                tr(
                    "A band needs a lower edge under its upper edge, both from {low} to "
                    "{high} bpm; {lower_bpm}-{upper_bpm} is not one."
                ).format(
                    low=figure(low), high=figure(high), lower_bpm=self.lower_bpm, upper_bpm=self.upper_bpm
                )
            )

    @property
    def middle_bpm(self) -> float:
        return (self.lower_bpm + self.upper_bpm) / 2

    def side(self, hr_bpm: NDArray[np.float64]) -> NDArray[np.int8]:
        """-1 below, 0 in band, +1 above for each heart rate; NaN gives 0, so mask it first."""
        side: NDArray[np.int8] = (hr_bpm > self.upper_bpm).astype("int8")
        return side - (hr_bpm < self.lower_bpm)

    def __str__(self) -> str:
        return f"{self.lower_bpm}-{self.upper_bpm} bpm"


def _outward(lower: float, upper: float) -> tuple[int, int]:
    """Whole beats around an exact band; a hair of float error must not widen it by a beat."""
    return math.floor(lower + 1e-9), math.ceil(upper - 1e-9)


def band_from_hr_max(hr_max_bpm: float, shares: tuple[float, float] = HR_MAX_SHARE) -> Band:
    """Band as shares of a measured maximal heart rate, rounded outward.

    187 bpm at 60-70 % is 112.2-130.9, so 112-131.
    """
    _check_bpm(tr("maximal heart rate"), hr_max_bpm)
    lower, upper = _outward(shares[0] * hr_max_bpm, shares[1] * hr_max_bpm)
    basis = Basis.of(MAXIMUM, hr_max_bpm=float(hr_max_bpm), **_shares(shares))
    return Band(lower, upper, BandMethod.HR_MAX, basis)


def band_from_reserve(
    hr_max_bpm: float, hr_rest_bpm: float, shares: tuple[float, float] = RESERVE_SHARE
) -> Band:
    """Band as shares of heart-rate reserve, ``HRrest + f (HRmax - HRrest)`` (Karvonen), rounded outward."""
    _check_bpm(tr("maximal heart rate"), hr_max_bpm)
    _check_bpm(tr("resting heart rate"), hr_rest_bpm)
    reserve = hr_max_bpm - hr_rest_bpm
    if reserve <= 0:
        raise UserError(tr("The resting heart rate must be lower than the maximal heart rate."))
    lower, upper = _outward(hr_rest_bpm + shares[0] * reserve, hr_rest_bpm + shares[1] * reserve)
    heart = {"hr_rest_bpm": float(hr_rest_bpm), "hr_max_bpm": float(hr_max_bpm)}
    basis = Basis.of(RESERVE, **heart, **_shares(shares))
    return Band(lower, upper, BandMethod.RESERVE, basis)


def parse_band(text: str) -> Band:
    """Read ``LO-HI`` in bpm, for example ``112-131``."""
    parts = text.replace("–", "-").split("-")
    try:
        lower, upper = (int(part) for part in parts)
    except ValueError:
        raise UserError(
            tr("A band is written as two whole numbers, like 112-131; {text} is not.").format(text=repr(text))
        ) from None
    return Band(lower, upper)


def _shares(shares: tuple[float, float]) -> dict[str, float]:
    return {"low_share": float(shares[0]), "high_share": float(shares[1])}


def _check_bpm(name: str, value: float) -> None:
    low, high = PLAUSIBLE_BPM
    if not low <= value <= high:
        raise UserError(
            tr("A {name} of {value} bpm is not plausible; give one from {low} to {high}.").format(
                name=name, value=shortest_number(value), low=figure(low), high=figure(high)
            )
        )
