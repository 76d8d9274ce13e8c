"""Tiles of a map out of an MBTiles file.

Source: MBTiles Specification 1.3 (a database of SQLite with the tables ``metadata`` and ``tiles``; rows
count from the south, as in TMS) and the OGC tile matrix set WebMercatorQuad (OGC 17-083r4, annex D) for
where a tile lies.
"""

from __future__ import annotations

import math
import re
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from slopebeat.disk.writing import SQLITE_MAGIC
from slopebeat.files.progress import Progress
from slopebeat.files.source import first_bytes
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message
from slopebeat.model.way import Box

MOST_TILES = 48
"""At the finest zoom whose tiles over the ground are no more than this many [project choice]."""

PICTURES = ("png", "jpg", "jpeg", "webp")
FINEST_ZOOM = 22
MOST_LATITUDE_DEG = 85.0511
LARGEST_TILE_BYTES = 8 * 1024 * 1024
"""No tile of a map is so large [project choice]."""


@dataclass(frozen=True, eq=False)
class Tile:
    """One picture as the file holds it, and the degrees it lies between."""

    box: Box
    data: bytes


@dataclass(frozen=True, eq=False)
class Tiles:
    """The tiles over some ground; ``attribution`` is whom the map is by, as the file says."""

    tiles: tuple[Tile, ...]
    attribution: str = ""


def tile_at(lat_deg: float, lon_deg: float, zoom: int) -> tuple[int, int]:
    """Column and row, from the north, of the tile a place lies in."""
    count = 2**zoom
    lat = math.radians(min(max(lat_deg, -MOST_LATITUDE_DEG), MOST_LATITUDE_DEG))
    x = (lon_deg + 180.0) / 360.0 * count
    y = (1.0 - math.asinh(math.tan(lat)) / math.pi) / 2.0 * count
    return min(max(int(x), 0), count - 1), min(max(int(y), 0), count - 1)


def box_of(column: int, row: int, zoom: int) -> Box:
    """The degrees a tile lies between; rows count from the north."""

    def lat(at: int) -> float:
        return math.degrees(math.atan(math.sinh(math.pi * (1.0 - 2.0 * at / (1 << zoom)))))

    def lon(at: int) -> float:
        return at * 360.0 / (1 << zoom) - 180.0

    return Box(lat(row + 1), lon(column), lat(row), lon(column + 1))


def read_tiles(path: Path, box: Box, progress: Progress) -> Tiles:
    """The tiles of a file over a box, at the finest zoom that is not too many.

    Raises
    ------
    UnreadableFile
        With a sentence, when it is no such file, a damaged one, or holds no pictures.
    """
    if first_bytes(path, len(SQLITE_MAGIC)) != SQLITE_MAGIC:
        raise UnreadableFile(message("ground.no_tiles", name=path.name))
    try:
        # Only looked at: nothing is ever written beside it, not even a journal.
        with closing(sqlite3.connect(f"file:{quote(str(path))}?mode=ro&immutable=1", uri=True)) as connection:
            return _read(connection, path.name, box, progress)
    except sqlite3.Error as problem:
        reason = str(problem)
        raise UnreadableFile(message("ground.damaged_tiles", name=path.name, reason=reason)) from problem


def _read(connection: sqlite3.Connection, name: str, box: Box, progress: Progress) -> Tiles:
    metadata = {str(key): str(value) for key, value in connection.execute("SELECT name, value FROM metadata")}
    form = metadata.get("format", "png").lower()
    if form not in PICTURES:
        raise UnreadableFile(message("ground.no_pictures", name=name, form=form))
    zooms = [int(zoom) for (zoom,) in connection.execute("SELECT DISTINCT zoom_level FROM tiles")]
    zoom = _zoom(box, [each for each in zooms if 0 <= each <= FINEST_ZOOM])
    if zoom is None:
        return Tiles(())
    (west, north), (east, south) = _corners(box, zoom)
    places = [(column, row) for row in range(north, south + 1) for column in range(west, east + 1)]
    query = "SELECT tile_data FROM tiles WHERE zoom_level = ? AND tile_column = ? AND tile_row = ?"
    found = []
    for done, (column, row) in enumerate(places):
        progress(done / len(places))
        held = connection.execute(query, (zoom, column, 2**zoom - 1 - row)).fetchone()
        if held is not None and isinstance(held[0], bytes) and len(held[0]) <= LARGEST_TILE_BYTES:
            found.append(Tile(box_of(column, row, zoom), held[0]))
    return Tiles(tuple(found), " ".join(re.sub(r"<[^>]*>", " ", metadata.get("attribution", "")).split()))


def _corners(box: Box, zoom: int) -> tuple[tuple[int, int], tuple[int, int]]:
    return tile_at(box.north_deg, box.west_deg, zoom), tile_at(box.south_deg, box.east_deg, zoom)


def _zoom(box: Box, zooms: list[int]) -> int | None:
    """The finest zoom with few enough tiles over the box; None where there is none."""
    for zoom in sorted(zooms, reverse=True):
        (west, north), (east, south) = _corners(box, zoom)
        if (east - west + 1) * (south - north + 1) <= MOST_TILES:
            return zoom
    return None
