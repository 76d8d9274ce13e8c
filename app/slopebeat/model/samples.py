"""The table of samples every reader fills, and the seconds each sample stands for.

Cadence is kept as devices record it; steps per minute are derived from it here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.numerics import median
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array

if TYPE_CHECKING:
    import pandas as pd

COLUMNS: tuple[str, ...] = (
    "t_s",
    "hr_bpm",
    "elevation_m",
    "distance_m",
    "speed_mps",
    "lat_deg",
    "lon_deg",
    "cadence_rpm",
    "power_w",
    "temperature_c",
)
"""Columns of a sample table, units in the names; what a file does not hold is NaN."""

GAP_LIMIT_S = 30.0
"""Longest time between two records that still counts as recorded [project choice].

With the lower edge of the band inside, this rule reproduces devices' own zone times to 1-16 s."""


class SampleTable:
    """The samples of a recording: one float array a column, all of one length and none to be written to.

    Plain arrays, as a table library takes longer to load than an outing to review; ``frame`` gives one.
    """

    columns = COLUMNS

    def __init__(self, filled: Mapping[str, NDArray[np.float64]]) -> None:
        self._filled = {name: filled[name].view() for name in COLUMNS}
        for values in self._filled.values():
            values.flags.writeable = False

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        """(n,) values of a column, NaN where absent."""
        return self._filled[name]

    def __len__(self) -> int:
        return int(self._filled["t_s"].size)

    def __iter__(self) -> Iterator[str]:
        return iter(COLUMNS)

    def keys(self) -> tuple[str, ...]:
        """The names of the columns; with them ``dict(table)`` and ``sample_table`` take a table."""
        return COLUMNS

    def replaced(self, **columns: ArrayLike) -> SampleTable:
        """The same samples with other values in some columns."""
        return sample_table({**self._filled, **columns})

    def rows(self, which: slice | NDArray[np.bool_] | NDArray[np.intp]) -> SampleTable:
        """Some of the samples, their times as they are."""
        return SampleTable({name: values[which] for name, values in self._filled.items()})

    def frame(self) -> pd.DataFrame:
        """A table of pandas, for those who work on."""
        import pandas as pd

        return pd.DataFrame({name: values.copy() for name, values in self._filled.items()})


def sample_table(columns: Mapping[str, ArrayLike]) -> SampleTable:
    """A sample table with every column present as float64, NaN where a column is not given.

    Parameters
    ----------
    columns : mapping of column name to values of one shape (n,); ``t_s`` is required.

    Raises
    ------
    ValueError
        For an unknown column, or ``t_s`` that does not start at 0 and rise strictly.
    """
    unknown = set(columns) - set(COLUMNS)
    if unknown:
        raise ValueError(f"unknown sample columns: {sorted(unknown)}")
    t = np.asarray(columns["t_s"], dtype=float)
    if t.size and (t[0] != 0.0 or np.any(np.diff(t) <= 0.0)):
        raise ValueError("t_s must start at 0 and rise strictly")
    filled = {name: np.array(columns[name], dtype=float) for name in set(columns)}
    if any(values.shape != t.shape for values in filled.values()):
        raise ValueError("columns of a sample table must have one length")
    return SampleTable({name: filled.get(name, np.full(t.shape, np.nan)) for name in COLUMNS})


@dataclass(frozen=True)
class CountedTime:
    """What each sample stands for, until the next record: arrays of shape (n,), the last 0.

    ``recorded_s + pause_s + gap_s`` equals the time to the next record for every sample.
    """

    recorded_s: NDArray[np.float64]
    pause_s: NDArray[np.float64]
    gap_s: NDArray[np.float64]


def counted_time(t_s: ArrayLike, pauses: Spans, gap_limit_s: float = GAP_LIMIT_S) -> CountedTime:
    """Split the time from each record to the next into recorded time, pause and gap.

    A sample stands for the time to the next record less timer pauses; when more than
    ``gap_limit_s`` is left after the pauses, all of it is a gap and counts for nothing.
    """
    t = np.asarray(t_s, dtype=float)
    if t.size == 0:
        return CountedTime(np.zeros(0), np.zeros(0), np.zeros(0))
    step = np.append(np.diff(t), 0.0)
    pause = np.minimum(pauses.overlap_s(t, t + step), step)
    left = step - pause
    is_gap = left > gap_limit_s
    return CountedTime(np.where(is_gap, 0.0, left), pause, np.where(is_gap, left, 0.0))


GOING_PER_MIN = 20.0
"""A lower cadence is standing about [project choice]."""

BOTH_LEGS_PER_MIN = 110.0
"""A usual cadence over this counts both legs: nobody takes 220 steps a minute for long [project choice]."""


def step_rate_per_min(cadence_rpm: Array) -> Array:
    """(n,) steps per minute of both legs from a cadence that may count one leg or both; NaN where absent."""
    with np.errstate(invalid="ignore"):
        going = cadence_rpm[cadence_rpm > GOING_PER_MIN]
    both = going.size > 0 and median(going) > BOTH_LEGS_PER_MIN
    return cadence_rpm if both else 2.0 * cadence_rpm
