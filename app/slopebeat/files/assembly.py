"""Turn the columns a reader collected into a table of samples: order, merge, clean out the impossible.

Possible is what can be meant: values within wide bounds, and a distance that goes with the positions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.message import Message, message
from slopebeat.model.numerics import EARTH_RADIUS_M, great_circle_m, median, quantile
from slopebeat.model.recording import Lap
from slopebeat.model.samples import COLUMNS, SampleTable, sample_table
from slopebeat.model.spans import Spans

Values = NDArray[np.float64]

HR_ABSENT_BPM = (0.0, 255.0)
"""Heart rates that mean "no value": 255 is the invalid uint8 of the FIT protocol; devices also write 0."""

BOUNDS: dict[str, tuple[float, float]] = {
    "hr_bpm": (0.0, 1_000.0),
    "elevation_m": (-1_000.0, 10_000.0),
    "distance_m": (-1e7, 1e7),
    "speed_mps": (0.0, 150.0),
    "lat_deg": (-90.0, 90.0),
    "lon_deg": (-180.0, 180.0),
    "cadence_rpm": (0.0, 1_000.0),
    "power_w": (0.0, 10_000.0),
    "temperature_c": (-100.0, 100.0),
}
"""Values outside were not measured on an outing [project choice, but for the latitude and the longitude]:
wide, because cleaning marks what is only doubtful. Ground lies between -430 m and 8,849 m."""

FAR_SHARE = 0.75
"""Share of the positions that may be nearer to the middle than the recording reached: the rest may be wrong
[project choice]."""

MOVED_M = 100.0
"""Positions spread over less than this may stand still [project choice]."""

STANDING_SHARE = 0.5
"""A way is never shorter than the positions lie apart; less than this share of it is no way at all
[project choice]."""


def possible(name: str, values: Values) -> tuple[Values, int]:
    """A column with NaN for what cannot be meant, and how many values were beyond its bounds.

    A heart rate that says "none" is absent and not counted.
    """
    low, high = BOUNDS[name]
    with np.errstate(invalid="ignore"):
        inside = (values >= low) & (values <= high)
    beyond = int(np.count_nonzero(np.isfinite(values) & ~inside))
    if name == "hr_bpm":
        inside &= ~np.isin(values, HR_ABSENT_BPM)
    return np.where(inside, values, np.nan), beyond


def distance_stands_still(distance_m: Values, lat_deg: Values, lon_deg: Values) -> bool:
    """Whether a recorded distance does not move while the positions do; arrays of shape (n,)."""
    known = np.isfinite(lat_deg) & np.isfinite(lon_deg)
    walked = distance_m[np.isfinite(distance_m)]
    if not walked.size or not known.any():
        return False
    lat, lon = lat_deg[known], lon_deg[known]
    # Longitudes from the first one, so that the middle is right across the 180th meridian too.
    east = (lon - lon[0] + 180.0) % 360.0 - 180.0
    most = EARTH_RADIUS_M * math.radians(float(np.ptp(lat) + np.ptp(east)))
    if float(np.ptp(walked)) >= STANDING_SHARE * most:
        return False  # It moved more than the positions can have reached.
    apart = great_circle_m(lat, lon, median(lat), lon[0] + median(east))
    reached = quantile(apart, FAR_SHARE)
    return reached > MOVED_M and float(np.ptp(walked)) < STANDING_SHARE * reached


FEWEST_RECORDS = 2
"""Fewer records than this span no time."""

EARLIEST_UNIX_S, LATEST_UNIX_S = 0.0, 7_258_118_400.0
"""Times taken for a record's, 1970 to 2199 [project choice]; FIT can write 1989 to 2126."""

LONGEST_SPAN_S = 31 * 24 * 3600.0
"""Longest time from the first record to the last of one recording [project choice]."""

LONGEST_BREAK_S = 24 * 3600.0
"""Where a recording is longer than that, it is cut at breaks longer than this [project choice]."""

_UNIX_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_VALUES = tuple(name for name in COLUMNS if name != "t_s")


@dataclass(frozen=True, eq=False)
class Assembled:
    """A table of samples and what had to be done to get it.

    Attributes
    ----------
    samples : as :func:`slopebeat.model.samples.sample_table` makes it.
    start_unix_s : time of the first record, seconds since 1970-01-01 UTC.
    untimed_count : records left out because they carry no time that can be meant.
    far_count : records left out because they lie too far from the others.
    beyond_count : values left out because they cannot be, by column.
    distance_stood : the distance of the file did not move and was measured along the positions instead.
    """

    samples: SampleTable
    start_unix_s: float
    untimed_count: int
    far_count: int
    beyond_count: Mapping[str, int]
    distance_stood: bool

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
    timed = np.flatnonzero((time >= EARLIEST_UNIX_S) & (time <= LATEST_UNIX_S))
    rows = timed[np.argsort(time[timed], kind="stable")]
    rows = rows[_within_longest_span(time[rows])]
    untimed_count, far_count = time.size - timed.size, timed.size - rows.size
    time, filled, beyond = time[rows], {}, {}
    for name in (name for name in _VALUES if name in columns):
        filled[name], beyond[name] = possible(name, np.asarray(columns[name], dtype=float)[rows])
    if np.any(np.diff(time) == 0.0):
        time, firsts = np.unique(time, return_index=True)
        filled = {name: _last_known(values, firsts) for name, values in filled.items()}
    start = float(time[0]) if time.size else 0.0
    stands = _measure_distance(filled)
    samples = sample_table({"t_s": time - start, **filled})
    return Assembled(samples, start, untimed_count, far_count, beyond, stands)


def _last_known(values: NDArray[np.float64], firsts: NDArray[np.intp]) -> NDArray[np.float64]:
    """The last value of each group that is not NaN, so that records that complete each other join."""
    known = np.where(np.isnan(values), -1, np.arange(values.size))
    last = np.maximum.reduceat(known, firsts)
    return np.where(last >= firsts, values[last], np.nan)


def _within_longest_span(time_s: NDArray[np.float64]) -> NDArray[np.intp]:
    """Which of some rising times make one recording: where they span too long, those of the largest part."""
    rows = np.arange(time_s.size)
    if time_s.size < 2 or time_s[-1] - time_s[0] <= LONGEST_SPAN_S:
        return rows
    part = np.concatenate(([0], np.cumsum(np.diff(time_s) > LONGEST_BREAK_S)))
    rows = rows[part == np.argmax(np.bincount(part))]
    return np.asarray(rows[time_s[rows] - time_s[rows[0]] <= LONGEST_SPAN_S])


RECORDS, POINTS = "count.records", "count.points"
"""Keys of what a format calls its records."""


def findings(tables: Iterable[Assembled], named: str = POINTS) -> tuple[Message, ...]:
    """What was left out or replaced; ``named`` is what the format calls its records."""
    tables = tuple(tables)
    untimed, far = (sum(getattr(table, name) for table in tables) for name in ("untimed_count", "far_count"))
    sentences = []
    if untimed:
        sentences.append(message("file.untimed", records=message(named, count=untimed)))
    if far:
        sentences.append(message("file.far", records=message(named, count=far), days=LONGEST_SPAN_S / 86_400))
    beyond = {name: sum(table.beyond_count.get(name, 0) for table in tables) for name in BOUNDS}
    parts = [
        message("file.value_count", name=message(f"column.{name}"), count=count)
        for name, count in beyond.items()
        if count
    ]
    if parts:
        sentences.append(message("file.values_left_out", parts=tuple(parts)))
    if any(table.distance_stood for table in tables):
        sentences.append(message("file.distance_stood"))
    return tuple(sentences)


def _measure_distance(columns: dict[str, NDArray[np.float64]]) -> bool:
    """Put the distance along the positions where the file has none, or one that does not move (True)."""
    if "lat_deg" not in columns or "lon_deg" not in columns:
        return False
    lat, lon, known = columns["lat_deg"], columns["lon_deg"], columns.get("distance_m")
    absent = known is None or not np.any(np.isfinite(known))
    stands = known is not None and distance_stands_still(known, lat, lon)
    if absent or stands:
        columns["distance_m"] = distance_along_m(lat, lon)
    return stands


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


def pauses_within(pauses: Iterable[tuple[float, float]], start_s: float, span_s: float) -> Spans:
    """What of them lies inside a recording of ``span_s``, in seconds from its start."""
    return Spans.from_pairs((max(begin - start_s, 0.0), min(end - start_s, span_s)) for begin, end in pauses)


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
