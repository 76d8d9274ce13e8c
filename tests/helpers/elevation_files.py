"""Files of elevations and tiles by their published layouts."""

from __future__ import annotations

import sqlite3
import struct
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import numpy as np

from slopebeat.files.ground.hgt import tile_name
from slopebeat.files.ground.tiles import tile_at
from slopebeat.model.way import Box

BOX = Box(46.40, 11.80, 46.50, 11.95)


def plane(lat_deg: np.ndarray, lon_deg: np.ndarray) -> np.ndarray:
    """A slope so steep that posts side by side differ by more than the half metre of rounding."""
    return 1000 + 2000 * (lat_deg - 46.0) + 3000 * (lon_deg - 11.0)


def write_hgt(folder: Path, south: int, west: int, height: Callable[..., np.ndarray] = plane) -> Path:
    """A square of SRTM3: 1201 rows from north to south of 1201 posts, big-endian."""
    lat = south + 1.0 - np.arange(1201)[:, None] / 1200.0
    lon = west + np.arange(1201)[None, :] / 1200.0
    posts = np.round(height(lat, lon) + np.zeros((1201, 1201)))
    path = folder / f"{tile_name(south, west)}.hgt"
    path.write_bytes(posts.astype(">i2").tobytes())
    return path


def write_tiles(
    path: Path, zooms: range, form: str = "png", box: Box = BOX, data: bytes | None = None
) -> None:
    """By MBTiles 1.3: rows count from the south."""
    with closing(sqlite3.connect(path)) as base:
        base.execute("CREATE TABLE metadata (name text, value text)")
        base.execute(
            "CREATE TABLE tiles (zoom_level integer, tile_column integer, tile_row integer, tile_data blob)"
        )
        said = [("format", form), ("attribution", '<a href="x">Ordnance</a> of the valley')]
        base.executemany("INSERT INTO metadata VALUES (?, ?)", said)
        for zoom in zooms:
            west, north = tile_at(box.north_deg, box.west_deg, zoom)
            east, south = tile_at(box.south_deg, box.east_deg, zoom)
            for x in range(west, east + 1):
                for y in range(north, south + 1):
                    row = (zoom, x, 2**zoom - 1 - y, data or struct.pack(">3i", zoom, x, y))
                    base.execute("INSERT INTO tiles VALUES (?, ?, ?, ?)", row)
        base.commit()
