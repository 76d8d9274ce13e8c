"""The program's rows on one outing beside what was true."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from outing import Truth, simulate
from people import BIKE_KG, BODY_KG
from worlds import WORLDS

from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording

Interval = tuple[float, float]


@dataclass(frozen=True)
class Row:
    """Figures of one outing against the truth; NaN where the program gives none.

    Attributes
    ----------
    true : decoupling, points. pace, work, fair, raw : errors of the rows, points.
    fair_interval, raw_interval : errors of the ends, so that the truth lies inside where they straddle 0.
    drift : error of the drift, bpm/h. status : verdict of the row, in words.
    rms : of half-minutes about the fit, bpm. tau_s, delay_s : as fitted. true_tau_s : of the rising heart.
    """

    true: float
    pace: float
    work: float
    fair: float
    fair_interval: Interval
    raw: float
    raw_interval: Interval
    drift: float
    status: str
    rms: float
    tau_s: float
    delay_s: float
    true_tau_s: float


def seed_of(world: str, sport: str, terrain: str, number: int) -> np.random.Generator:
    """One stream for each outing, whatever else is computed."""
    return np.random.default_rng([number, *(ord(letter) for letter in world + sport + terrain)])


def reviewed(world: str, sport: str, terrain: str, number: int) -> tuple[Truth, Review]:
    """Simulate one outing and review it as the program reviews a file, with a band about its middle."""
    truth, recording = simulate(seed_of(world, sport, terrain, number), sport, terrain, WORLDS[world])
    middle = round(float(np.percentile(truth.heart_bpm, 45.0)))
    aim = Aim(band=Band(middle - 10, middle + 5), body_mass_kg=BODY_KG, bike_mass_kg=BIKE_KG)
    return truth, review_recording(recording, aim)


def row_of(truth: Truth, review: Review) -> Row:
    """Errors of every row."""
    true, fair = truth.decoupling_percent, review.terrain_fair
    return Row(
        true=true,
        pace=_off(review.decoupling.pace.percent, true),
        work=_off(review.decoupling.work.percent, true),
        fair=_off(fair.percent, true),
        fair_interval=_ends(fair.interval_percent, true),
        raw=_off(fair.raw_percent, true),
        raw_interval=_ends(fair.raw_interval_percent, true),
        drift=_off(review.response.drift_bpm_per_h, truth.drift_bpm_per_h),
        status=str(fair.status),
        rms=_off(review.response.residual_rms_bpm, 0.0),
        tau_s=_off(review.response.tau_s, 0.0),
        delay_s=_off(review.response.delay_s, 0.0),
        true_tau_s=truth.person.rising_s,
    )


def _off(value: float | None, true: float) -> float:
    return float("nan") if value is None else value - true


def _ends(interval: Interval | None, true: float) -> Interval:
    low, high = interval or (float("nan"), float("nan"))
    return low - true, high - true
