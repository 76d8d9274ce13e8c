"""What one outing teaches for those to come: a compact record that can be recomputed from the file."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

import numpy as np

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
    past : what plans of ways read, kept as it is.
    span_s : from the first record to the last, pauses among them; None in records of earlier versions.
    """

    start_utc: datetime
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
    past: dict[str, Any] | None = None
    span_s: float | None = None

    def as_values(self) -> dict[str, Any]:
        """JSON values."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        values["start_utc"] = self.start_utc.isoformat()
        values["fit"] = None if self.fit is None else _plain(self.fit)
        values["sums"] = None if self.sums is None else _plain(self.sums)
        return values

    @classmethod
    def from_values(cls, values: dict[str, Any]) -> OutingEvidence:
        """The record back from its JSON values; unknown keys of a later version are passed over."""
        known = {field.name: values.get(field.name) for field in fields(cls)}
        known["start_utc"] = datetime.fromisoformat(values["start_utc"])
        known["fit"] = None if known["fit"] is None else FitEvidence(**_arrays(FitEvidence, known["fit"]))
        known["sums"] = None if known["sums"] is None else InputSums(**_arrays(InputSums, known["sums"]))
        return cls(**known)  # type: ignore[arg-type]


_DIGITS = 10
"""Significant digits kept: centred sums lose a few to cancelling."""


def _plain(record: FitEvidence | InputSums) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, np.ndarray):
            out[field.name] = [float(f"{v:.{_DIGITS}g}") for v in value.ravel()]
        else:
            out[field.name] = value
    return out


def _arrays(kind: type[FitEvidence] | type[InputSums], values: dict[str, Any]) -> dict[str, Any]:
    square = {"gram", "covariance"}
    out: dict[str, Any] = {}
    for field in fields(kind):
        value = values[field.name]
        if isinstance(value, list):
            flat = np.array(value, dtype=float)
            side = round(flat.size**0.5)
            value = flat.reshape(side, side) if field.name in square else flat
        out[field.name] = value
    return out
