"""A lactate step test as it is entered: its stages, checked, and the cautions that go with it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.bands import PLAUSIBLE_BPM
from slopebeat.model.errors import UserError
from slopebeat.model.message import Message, message

Array = NDArray[np.float64]

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
