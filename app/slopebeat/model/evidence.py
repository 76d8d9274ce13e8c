"""What one outing teaches for those to come: a compact record that can be recomputed from the file."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.codec import Instant
from slopebeat.model.past import PastOuting
from slopebeat.model.track import Array

RIDE, RUN, WALK, MIXED = "ride", "run", "walk", "mixed"
"""Keys of what was done that has a work rate; what has none carries another key."""

POWER, MODELLED = "power", "model"
"""Keys of where the work rate comes from: a meter, or speed and ground."""

INPUT_NAMES = ("work", "up", "down", "slow", "hours")
"""Columns of lagged inputs: work rate W/kg, climbing and sinking speed m/s, the slow part of the work
rate beyond the quick one W/kg, hours since the first record."""


@dataclass(frozen=True, eq=False)
class InputSums:
    """Half-minute means of one outing summed up, so that outings can be fitted together without their files.

    Attributes
    ----------
    gram : (7, 7) weighted sums of products of one, the inputs of :data:`INPUT_NAMES`, and heart rate.
    low, high : (5,) 0.5 and 99.5 percentile of each input.
    """

    gram: Array
    low: Array
    high: Array

    def __post_init__(self) -> None:
        _shape(self, gram=(7, 7), low=(5,), high=(5,))

    @property
    def count(self) -> float:
        """Weight of all half-minutes together."""
        return float(self.gram[0, 0])

    @property
    def means(self) -> Array:
        """(6,) mean inputs and mean heart rate."""
        return np.asarray(self.gram[0, 1:] / self.gram[0, 0])

    @property
    def within(self) -> Array:
        """(6, 6) sums of products about the outing's own means."""
        return np.asarray(self.gram[1:, 1:] - np.outer(self.gram[0, 1:], self.gram[0, 1:]) / self.gram[0, 0])


@dataclass(frozen=True, eq=False)
class FitEvidence:
    """An outing's own fit of its heart rate, with no knowledge of drift from elsewhere.

    Attributes
    ----------
    coefficients, covariance : (5,) and (5, 5): heart rate at the centre (bpm), drift (bpm/h), beats per
        W/kg, per m/s climbed and per m/s sunk.
    centre_h : hours since the first record at the centre. centre : (3,) work, climbing, sinking there.
    residual_bpm : root mean square of what half-minutes are off the line. used_s : seconds fitted.
    usable : whether the fit may be read as a drift of the heart.
    """

    coefficients: Array
    covariance: Array
    centre_h: float
    centre: Array
    tau_s: float
    residual_bpm: float
    used_s: float
    usable: bool

    def __post_init__(self) -> None:
        _shape(self, coefficients=(5,), covariance=(5, 5), centre=(3,))


@dataclass(frozen=True, eq=False)
class OutingEvidence:
    """One outing as far as it teaches; None where unknown.

    Attributes
    ----------
    kind : what was done, one of :data:`RIDE` and the others where there is a work rate.
    work_source : :data:`POWER` or :data:`MODELLED`; None without a work rate.
    coverage : share of the recorded time with trusted heart rate.
    trusted_s : moving with trusted heart rate and a work rate.
    mean_work_w_per_kg : while moving. work_variation : coefficient of variation of its minute means.
    mean_hr_bpm, hr_sd_bpm : of all trusted heart rate.
    past : what plans of ways read.
    span_s : from the first record to the last, pauses among them; None in records of earlier versions.
    """

    start_utc: Instant
    kind: str
    sport: str
    on_bike: bool
    work_source: str | None
    device: str
    coverage: float
    recorded_s: float
    moving_s: float
    trusted_s: float
    mean_work_w_per_kg: float | None
    work_variation: float | None
    mean_hr_bpm: float | None
    hr_sd_bpm: float | None
    load_kg: float
    temperature_c: float | None
    fit: FitEvidence | None
    sums: InputSums | None
    past: PastOuting | None = None
    span_s: float | None = None


def _shape(record: FitEvidence | InputSums, **shapes: tuple[int, ...]) -> None:
    """Give the arrays their shapes, which files do not keep; ValueError for too many or too few numbers."""
    for name, shape in shapes.items():
        object.__setattr__(record, name, np.reshape(getattr(record, name), shape))
