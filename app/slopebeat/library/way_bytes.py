"""Ways packed into bytes: whole steps of a unit, as differences, deflated."""

from __future__ import annotations

import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.track import Array
from slopebeat.model.way import WayPoints, WayValues

DEGREE = 1e-5
"""Step of a coordinate, a metre: under what receivers are off [project choice]."""

VALUE_STEPS = (1.0, 0.1, 0.5, 0.5, 0.1, 0.5)
"""Steps of the columns of :class:`WayValues` in their order: seconds, metres, beats, W/kg, kilograms
[project choice]: a pass over a place is a mean over dozens of them."""

_UNKNOWN = np.iinfo(np.int32).min
_LARGEST = np.iinfo(np.int32).max


def points_packed(points: WayPoints) -> bytes:
    """A way's points as bytes, to a metre."""
    return _packed([points.lat_deg / DEGREE, points.lon_deg / DEGREE, points.piece])


def points_of(packed: bytes) -> WayPoints:
    """The points back; ValueError for other bytes."""
    lat, lon, piece = _columns(packed, 3)
    if not (np.isfinite(lat).all() and np.isfinite(lon).all() and np.isfinite(piece).all()):
        raise ValueError("a point without a place")
    return WayPoints(lat * DEGREE, lon * DEGREE, piece.astype(np.int64))


def values_packed(values: WayValues) -> bytes:
    """What was measured on a way as bytes, to :data:`VALUE_STEPS`."""
    columns = (values.t_s, values.moving_s, values.elevation_m)
    rest = (values.hr_bpm, values.work_w_per_kg, values.load_kg)
    return _packed([each / step for each, step in zip((*columns, *rest), VALUE_STEPS, strict=True)])


def values_of(packed: bytes) -> WayValues:
    """What was measured, back; ValueError for other bytes."""
    columns = _columns(packed, len(VALUE_STEPS))
    return WayValues(*(each * step for each, step in zip(columns, VALUE_STEPS, strict=True)))


def _packed(columns: Sequence[Array | NDArray[np.int64]]) -> bytes:
    rows = [_differences(np.asarray(column, dtype=float)) for column in columns]
    # Byte by byte: the high bytes of small differences are all alike and cost next to nothing.
    return zlib.compress(np.vstack(rows).astype("<i4").view(np.uint8).reshape(-1, 4).T.tobytes(), 6)


def _differences(column: Array) -> NDArray[np.int64]:
    """Whole numbers less the last known one before; a mark of its own where nothing is known."""
    known = np.isfinite(column)
    whole = np.rint(column[known]).astype(np.int64)
    if whole.size and np.abs(whole).max() > _LARGEST // 2:
        raise ValueError("a way holds a number that is too large")
    found = np.full(column.shape, _UNKNOWN, dtype=np.int64)
    found[known] = np.diff(whole, prepend=0)
    return found


def _columns(packed: bytes, count: int) -> list[Array]:
    try:
        raw = zlib.decompress(packed)
    except zlib.error as problem:
        raise ValueError("a way is damaged") from problem
    if len(raw) % (4 * count):
        raise ValueError("a way is damaged")
    numbers = np.ascontiguousarray(np.frombuffer(raw, np.uint8).reshape(4, -1).T).view("<i4").ravel()
    return [_summed(row) for row in numbers.reshape(count, -1)]


def _summed(differences: NDArray[np.int32]) -> Array:
    known = differences != _UNKNOWN
    found = np.full(differences.shape, np.nan)
    found[known] = np.cumsum(differences[known].astype(np.int64))
    return found
