"""Heart rates at lactate thresholds of a step test, by several methods, because methods disagree.

Thresholds are read from straight lines between the measured stages; nothing is smoothed but the curve for
drawing. On one published test the usual methods put the first threshold anywhere from 71 to 110 W: a
band from a test is therefore given with a range.

The step test comes as it is entered: its stages, checked.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum

import numpy as np

from slopebeat.model.bands import PLAUSIBLE_BPM, Band, BandMethod
from slopebeat.model.basis import LACTATE, Basis
from slopebeat.model.errors import UserError
from slopebeat.model.message import Message, message
from slopebeat.model.track import Array

LEAST_STAGES = 4
"""Two lines need two points each [project choice]."""

PLAUSIBLE_MMOL_L = (0.3, 25.0)
"""Blood lactate outside this range is taken for a slip of the pen [project choice]."""

MOST_FALL_MMOL_L = 0.6
"""Lactate often falls a little over the first easy stages; a larger fall is doubtful [project choice]."""

MOST_HR_FALL_BPM = 5.0
"""Heart rate does not fall by more than this from one stage to a harder one [project choice]."""


@dataclass(frozen=True)
class Stage:
    """One stage: load (W, or km/h on a treadmill), lactate at its end, heart rate at its end."""

    load: float
    lactate_mmol_l: float
    hr_bpm: float


@dataclass(frozen=True)
class LactateTest:
    """A checked step test, stages in order of load.

    Attributes
    ----------
    resting_mmol_l : lactate before the test; without it the lowest stage stands for the baseline.

    Raises
    ------
    UserError
        With a sentence, when the values cannot be those of a step test.
    """

    stages: tuple[Stage, ...]
    load_unit: str = "W"
    resting_mmol_l: float | None = None

    def __post_init__(self) -> None:
        if len(self.stages) < LEAST_STAGES:
            raise UserError(message("step_test.few_stages", least=LEAST_STAGES, count=len(self.stages)))
        for number, stage in enumerate(self.stages, start=1):
            _check_stage(number, stage, self.load_unit)
        for number, (one, next_) in enumerate(zip(self.stages, self.stages[1:], strict=False), start=2):
            _check_step(number, one, next_)
        if self.resting_mmol_l is not None:
            _check_range(
                message("step_test.resting_lactate"), self.resting_mmol_l, PLAUSIBLE_MMOL_L, "mmol/L"
            )

    @property
    def load(self) -> Array:
        return np.array([stage.load for stage in self.stages])

    @property
    def lactate(self) -> Array:
        return np.array([stage.lactate_mmol_l for stage in self.stages])

    @property
    def hr_bpm(self) -> Array:
        return np.array([stage.hr_bpm for stage in self.stages])

    @property
    def baseline_mmol_l(self) -> float:
        return float(self.lactate.min()) if self.resting_mmol_l is None else self.resting_mmol_l

    def load_at(self, lactate_mmol_l: float) -> float | None:
        """Where lactate rises through a value for the last time, straight between measured stages.

        None where it never does, being lower at the end or higher all along.
        """
        lactate, load = self.lactate, self.load
        under = np.flatnonzero(lactate < lactate_mmol_l)
        if lactate[-1] < lactate_mmol_l or under.size == 0:
            return None
        i = int(under[-1])
        share = (lactate_mmol_l - lactate[i]) / (lactate[i + 1] - lactate[i])
        return float(load[i] + share * (load[i + 1] - load[i]))

    def hr_at(self, load: float) -> float:
        """Heart rate at a load, straight between the measured stages."""
        return float(np.interp(load, self.load, self.hr_bpm))

    def hr_on_line(self, load: float) -> float:
        """Heart rate at a load on the straight line through all stages."""
        return float(np.polyval(np.polyfit(self.load, self.hr_bpm, 1), load))


def _check_range(what: Message, value: float, limits: tuple[float, float], unit: str) -> None:
    if not limits[0] <= value <= limits[1]:
        raise UserError(
            message("not_plausible", what=what, value=value, unit=unit, low=limits[0], high=limits[1])
        )


def _check_stage(number: int, stage: Stage, unit: str) -> None:
    if not (math.isfinite(stage.load) and stage.load > 0.0):
        raise UserError(message("step_test.no_load", number=number, unit=unit))
    _check_range(
        message("step_test.stage_lactate", number=number),
        stage.lactate_mmol_l,
        PLAUSIBLE_MMOL_L,
        "mmol/L",
    )
    _check_range(message("step_test.stage_heart_rate", number=number), stage.hr_bpm, PLAUSIBLE_BPM, "bpm")


def _check_step(number: int, one: Stage, next_: Stage) -> None:
    if next_.load <= one.load:
        raise UserError(message("step_test.no_harder", number=number))
    if next_.lactate_mmol_l < one.lactate_mmol_l - MOST_FALL_MMOL_L:
        fall = one.lactate_mmol_l - next_.lactate_mmol_l
        raise UserError(message("step_test.lactate_falls", fall=fall, number=number))
    if next_.hr_bpm < one.hr_bpm - MOST_HR_FALL_BPM:
        fall = one.hr_bpm - next_.hr_bpm
        raise UserError(message("step_test.heart_rate_falls", fall=fall, number=number))


BAND_MMOL_L = (1.0, 1.9)
"""Lactate at the lower and upper edge of low-intensity work; common practice, no source."""

ABOVE_BASELINE_MMOL_L = 0.5
"""Rise over the baseline that marks the first threshold."""


class Method(StrEnum):
    """How a threshold is defined."""

    LOWER_FIXED = "lower_fixed"
    UPPER_FIXED = "upper_fixed"
    BASELINE = "baseline"
    LOG_LOG = "log_log"


@dataclass(frozen=True)
class Threshold:
    """One method's answer; load and heart rates None when the test does not reach it.

    Attributes
    ----------
    hr_bpm : straight between the two measured stages; hr_line_bpm : on the line through all stages.
    reason : why there is no answer, None when there is an answer.
    """

    method: Method
    load: float | None
    lactate_mmol_l: float | None
    hr_bpm: float | None
    hr_line_bpm: float | None
    reason: Message | None = None


def thresholds(test: LactateTest) -> tuple[Threshold, ...]:
    """All methods on one test: fixed 1.0 and 1.9 mmol/L, baseline + 0.5 mmol/L, log-log (Beaver 1985)."""
    return (
        at_lactate(test, BAND_MMOL_L[0], Method.LOWER_FIXED),
        at_lactate(test, test.baseline_mmol_l + ABOVE_BASELINE_MMOL_L, Method.BASELINE),
        at_lactate(test, BAND_MMOL_L[1], Method.UPPER_FIXED),
        _answer(test, Method.LOG_LOG, log_log_break(test.load, test.lactate), message("lactate.no_break")),
    )


def at_lactate(test: LactateTest, lactate_mmol_l: float, method: Method) -> Threshold:
    """Where lactate rises through a value for the last time, straight between measured stages."""
    load, reason = test.load_at(lactate_mmol_l), message("lactate.always_over", value=lactate_mmol_l)
    if test.lactate[-1] < lactate_mmol_l:
        reason = message("lactate.not_reached", value=lactate_mmol_l)
    elif load is None and test.lactate[0] == lactate_mmol_l:
        load = float(test.load[0])
    return _answer(test, method, load, reason)


def _answer(test: LactateTest, method: Method, load: float | None, reason: Message | None) -> Threshold:
    if load is None:
        return Threshold(method, None, None, None, None, reason)
    lactate = float(np.interp(load, test.load, test.lactate))
    return Threshold(method, load, lactate, test.hr_at(load), test.hr_on_line(load))


def log_log_break(load: Array, lactate: Array) -> float | None:
    """Load at which two joined lines through log lactate over log load meet (Beaver 1985, doi:10.1152/
    jappl.1985.59.6.1936), by least squares over the measured stages; None when the second line is no steeper.
    """
    x, y = np.log(load), np.log(lactate)
    best: tuple[float, float] | None = None
    for knot in np.linspace(x[1], x[-2], 801):
        design = np.column_stack([np.ones_like(x), x - knot, np.maximum(x - knot, 0.0)])
        beta = np.linalg.lstsq(design, y, rcond=None)[0]
        error = float(np.sum((y - design @ beta) ** 2))
        if beta[2] > 0.0 and (best is None or error < best[0] - 1e-12):
            best = error, float(np.exp(knot))
    return None if best is None else best[1]


def smooth_curve(test: LactateTest) -> tuple[Array, Array]:
    """Loads and lactate (200,) of a third-degree polynomial through the stages, for drawing only.

    The resting sample, where there is one, enters one step under the first load, as the usual published
    evaluations have it.
    """
    load, lactate = test.load, test.lactate
    if test.resting_mmol_l is not None:
        load = np.concatenate([[load[0] - (load[1] - load[0])], load])
        lactate = np.concatenate([[test.resting_mmol_l], lactate])
    shape = np.polynomial.Polynomial.fit(load, lactate, 3 if load.size > 4 else 2)
    drawn = np.linspace(load[0], load[-1], 200)
    return drawn, np.asarray(shape(drawn))


@dataclass(frozen=True)
class BandProposal:
    """A band from a test, with how far the methods differ.

    Attributes
    ----------
    band : heart rate at 1.0 and 1.9 mmol/L, rounded outward.
    lower_range_bpm, upper_range_bpm : least and most that methods and readings of the heart rate give.
    why_a_range : its doubt.
    """

    band: Band
    lower_range_bpm: tuple[int, int]
    upper_range_bpm: tuple[int, int]
    why_a_range: Message


def propose_band(test: LactateTest) -> BandProposal:
    """The band of low-intensity work a test suggests.

    Raises
    ------
    UserError
        With a sentence, when the test does not hold 1.9 mmol/L between two stages.
    """
    found = {threshold.method: threshold for threshold in thresholds(test)}
    upper, lower = found[Method.UPPER_FIXED], found[Method.LOWER_FIXED]
    if upper.hr_bpm is None:
        raise UserError(upper.reason or message("lactate.not_reached", value=BAND_MMOL_L[1]))
    if lower.hr_bpm is None:
        easiest = test.stages[0]
        lower = Threshold(lower.method, easiest.load, None, easiest.hr_bpm, test.hr_on_line(easiest.load))
    lows = _readings(lower)
    highs = [
        bpm for m in (Method.BASELINE, Method.UPPER_FIXED, Method.LOG_LOG) for bpm in _readings(found[m])
    ]
    assert lower.hr_bpm is not None
    low_range, high_range = _outer(lows), _outer(highs)
    why = message("lactate.methods_disagree", low=high_range[0], high=high_range[1])
    basis = Basis.of(
        LACTATE,
        lower_mmol_l=BAND_MMOL_L[0],
        upper_mmol_l=BAND_MMOL_L[1],
        from_easiest_stage=found[Method.LOWER_FIXED].hr_bpm is None,
        stages=[asdict(stage) for stage in test.stages],
        load_unit=test.load_unit,
        resting_mmol_l=test.resting_mmol_l,
    )
    band = Band(math.floor(lower.hr_bpm), math.ceil(upper.hr_bpm), BandMethod.LACTATE, basis)
    return BandProposal(band, low_range, high_range, why)


def _readings(threshold: Threshold) -> list[float]:
    return [bpm for bpm in (threshold.hr_bpm, threshold.hr_line_bpm) if bpm is not None]


def _outer(values: Sequence[float]) -> tuple[int, int]:
    return math.floor(min(values)), math.ceil(max(values))
