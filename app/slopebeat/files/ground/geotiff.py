"""GeoTIFF in degrees of latitude and longitude, cut out of the file strip by strip or tile by tile.

Source: OGC 19-008r4, GeoTIFF Standard 1.1: tags and keys in its chapter 7 and annex B. The TIFF itself is
read by tifffile.
"""

from __future__ import annotations

import lzma
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import tifffile

from slopebeat.disk.reading import open_regular
from slopebeat.files.ground.elevation import ElevationGrid, Progress, Window, window_of
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message
from slopebeat.model.track import Array
from slopebeat.model.way import Box

PIXEL_SCALE, TIEPOINT, KEYS, NO_DATA = 33550, 33922, 34735, 42113
"""Tags: ModelPixelScale, ModelTiepoint, GeoKeyDirectory, and GDAL_NODATA, no part of the standard."""

MODEL_TYPE, RASTER_TYPE = 1024, 1025
GEOGRAPHIC, PIXEL_IS_POINT = 2, 2

UNDECODABLE = (
    *(tifffile.TiffFileError, ValueError, KeyError, IndexError, TypeError, OSError, RuntimeError),
    *(struct.error, zlib.error, lzma.LZMAError, MemoryError),
)
"""What tifffile and the decoders it calls raise for a damaged file."""

PLAUSIBLE_M = (-1000.0, 9500.0)
"""What an elevation on land can be [project choice]; other numbers stand for nothing known."""


def read_geotiff(path: Path, box: Box, progress: Progress) -> ElevationGrid | None:
    """The part of a file within a box; None where it holds none there.

    Raises
    ------
    UnreadableFile
        With a sentence, when it is damaged, not in degrees, or compressed in a way that cannot be read.
    """
    with open_regular(path) as stream:
        try:
            with tifffile.TiffFile(stream, name=path.name) as tiff:
                return _cut(tiff.pages[0], stream, path.name, box, progress)
        except UNDECODABLE as problem:
            reason = str(problem).rstrip(".") or type(problem).__name__
            raise UnreadableFile(message("ground.damaged", name=path.name, reason=reason)) from problem


def _cut(page: Any, stream: Any, name: str, box: Box, progress: Progress) -> ElevationGrid | None:
    if page.samplesperpixel != 1 or page.dtype is None or page.dtype.kind not in "iuf":
        raise UnreadableFile(message("ground.a_picture", name=name))
    north, west, lat, lon = _placed(page, name)
    cut = window_of(box, north, west, (lat, lon), page.shape[:2])
    if cut.empty:
        return None
    return cut.grid(_window(page, stream, cut, progress), north, west, (lat, lon))


def _placed(page: Any, name: str) -> tuple[float, float, float, float]:
    """Latitude and longitude of the middle of the first cell, and the steps from one to the next."""
    tags = page.tags
    directory = tags.get(KEYS)
    keys = {} if directory is None else _keys(directory.value)
    if keys.get(MODEL_TYPE) != GEOGRAPHIC:
        raise UnreadableFile(message("ground.not_degrees", name=name))
    scale, tie = tags.get(PIXEL_SCALE), tags.get(TIEPOINT)
    if scale is None or tie is None or scale.value[0] <= 0 or scale.value[1] <= 0:
        raise UnreadableFile(message("ground.no_place", name=name))
    (lon, lat), (column, row) = scale.value[:2], tie.value[:2]
    # A tie point is a corner of its cell, unless the raster says it is a point.
    middle = 0.0 if keys.get(RASTER_TYPE) == PIXEL_IS_POINT else 0.5
    return tie.value[4] - (middle - row) * lat, tie.value[3] + (middle - column) * lon, lat, lon


def _keys(directory: Any) -> dict[int, int]:
    """Keys whose value stands in the directory itself."""
    rows = np.asarray(directory).reshape(-1, 4)[1:]
    return {int(key): int(value) for key, where, _, value in rows if where == 0}


def _window(page: Any, stream: Any, cut: Window, progress: Progress) -> Array:
    """The elevations of a window, from the strips or tiles that meet it."""
    found = cut.unknown()
    high, wide = (page.tilelength, page.tilewidth) if page.is_tiled else (page.rowsperstrip, page.shape[1])
    across = -(-page.shape[1] // wide)
    rows = range(cut.top // high, (cut.bottom - 1) // high + 1)
    columns = range(cut.left // wide, (cut.right - 1) // wide + 1)
    wanted = [row * across + column for row in rows for column in columns]
    unknown = _unknown(page)
    for done, index in enumerate(wanted):
        progress(done / len(wanted))
        if not page.databytecounts[index]:
            continue
        stream.seek(page.dataoffsets[index])
        segment, place, _ = page.decode(stream.read(page.databytecounts[index]), index)
        if segment is None:
            continue
        part = np.asarray(segment, dtype=float).reshape(segment.shape[1:3])
        known = (part >= PLAUSIBLE_M[0]) & (part <= PLAUSIBLE_M[1]) & (part != unknown)
        cut.put(found, np.where(known, part, np.nan), place[2], place[3])
    return found


def _unknown(page: Any) -> float:
    """The number that stands for nothing known; NaN where none does."""
    tag = page.tags.get(NO_DATA)
    try:
        return float("nan") if tag is None else float(str(tag.value).strip("\0 "))
    except ValueError:
        return float("nan")
