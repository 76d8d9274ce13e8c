"""Turn the columns a reader collected into a table of samples: order, merge, clean out the impossible."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.geodesy import great_circle_m
from slopebeat.model.recording import Lap
from slopebeat.model.samples import COLUMNS, sample_table

HR_ABSENT_BPM = (0.0, 255.0)
"""Heart rates that mean "no value": 255 is the invalid uint8 of the FIT protocol; devices also write 0."""

FEWEST_RECORDS = 2
"""Fewer records than this span no time."""

_UNIX_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_VALUES = tuple(name for name in COLUMNS if name != "t_s")


@dataclass(frozen=True, eq=False)
class Assembled:
    """A table of samples and what had to be done to get it.

    Attributes
    ----------
    samples : as :func:`slopebeat.model.samples.sample_table` makes it.
    start_unix_s : time of the first record, seconds since 1970-01-01 UTC.
    untimed_count : records left out because they carry no time.
    """

    samples: pd.DataFrame
    start_unix_s: float
    untimed_count: int

    @property
    def start_utc(self) -> datetime:
        return _UNIX_EPOCH + timedelta(seconds=self.start_unix_s)

    @property
    def enough(self) -> bool:
        return len(self.samples) >= FEWEST_RECORDS


def assemble(unix_s: ArrayLike, columns: Mapping[str, ArrayLike]) -> Assembled:
    """A table of samples from columns in any order of time.

    Records without a time are left out, records with one time are merged (of two values for one
    column the later in the file stays), values that cannot be are made absent, and distance is
    measured along the positions where the file has none.

    Parameters
    ----------
    unix_s : shape (n,), seconds since 1970-01-01 UTC, NaN where absent.
    columns : any of the sample columns but ``t_s``, each of shape (n,), NaN where absent.
    """
    time = np.asarray(unix_s, dtype=float)
    table = pd.DataFrame(
        {name: np.asarray(columns[name], dtype=float) for name in _VALUES if name in columns},
        index=range(time.size),
    )
    timed = np.isfinite(time)
    table, time = table[timed], time[timed]
    for name in table.columns:
        values = table[name].to_numpy()
        table[name] = np.where(_possible(name, values), values, np.nan)
    order = np.argsort(time, kind="stable")
    table, time = table.iloc[order], time[order]
    if np.any(np.diff(time) == 0.0):
        # ``last`` takes the last value that is not NaN, so records that complete each other join.
        table = table.groupby(time, sort=True).last()
        time = np.unique(time)
    start = float(time[0]) if time.size else 0.0
    filled = {name: table[name].to_numpy() for name in table.columns}
    _measure_distance(filled)
    samples = sample_table({"t_s": time - start, **filled})
    return Assembled(samples, start, int(np.count_nonzero(~timed)))


def _possible(name: str, values: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which values can be meant; doubtful ones stay, cleaning marks them with a reason."""
    finite = np.isfinite(values)
    if name == "hr_bpm":
        return finite & ~np.isin(values, HR_ABSENT_BPM) & (values > 0.0)
    if name == "lat_deg":
        return finite & (np.abs(values) <= 90.0)
    if name == "lon_deg":
        return finite & (np.abs(values) <= 180.0)
    return finite


def _measure_distance(columns: dict[str, NDArray[np.float64]]) -> None:
    if "lat_deg" not in columns or "lon_deg" not in columns:
        return
    known = columns.get("distance_m")
    if known is None or not np.any(np.isfinite(known)):
        columns["distance_m"] = distance_along_m(columns["lat_deg"], columns["lon_deg"])


def distance_along_m(lat_deg: ArrayLike, lon_deg: ArrayLike) -> NDArray[np.float64]:
    """Distance from the first position along the line to each.

    Parameters
    ----------
    lat_deg, lon_deg : shape (n,), degrees, NaN where absent.

    Returns
    -------
    Metres, shape (n,); NaN where the position is absent. The line runs straight across absent ones.
    """
    lat, lon = np.asarray(lat_deg, dtype=float), np.asarray(lon_deg, dtype=float)
    known = np.isfinite(lat) & np.isfinite(lon)
    out = np.full(lat.shape, np.nan)
    lat, lon = lat[known], lon[known]
    if lat.size:
        step = great_circle_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
        out[known] = np.concatenate(([0.0], np.cumsum(step)))
    return out


def laps_from_starts(start_s: Iterable[float], span_s: float) -> tuple[Lap, ...]:
    """Laps follow each other, so each lasts to the start of the next, the last to the last record.

    Parameters
    ----------
    start_s : in any order, seconds from the first record; NaN and starts behind ``span_s`` are no laps
        of this recording, of several before the first record the latest is the one under way.
    """
    starts = sorted({start for start in start_s if start < span_s})
    edges = [max(start, 0.0) for start, nxt in pairwise([*starts, span_s]) if nxt > 0.0]
    return tuple(Lap(start, end) for start, end in pairwise([*edges, span_s]))
