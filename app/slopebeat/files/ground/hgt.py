"""SRTM HGT: a degree square of big-endian 16-bit metres, its corner in the file's name.

Source: NASA, Shuttle Radar Topography Mission, "SRTM Topography" (SRTM_Topo.pdf of the data sets SRTM 2.1
and SRTMGL1, LP DAAC): rows from north to south, 1201 or 3601 posts a side with the outermost shared by
neighbours, name of the south-west post such as N46E011, -32768 where nothing is known.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from slopebeat.disk.reading import open_regular
from slopebeat.files.ground.elevation import ElevationGrid, Progress, window_of
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message
from slopebeat.model.track import Array
from slopebeat.model.way import Box

SIDES = (1201, 3601)
VOID = -32768
NAME = re.compile(r"([NS])(\d{2})([EW])(\d{3})", re.IGNORECASE)


def corner_of(name: str) -> tuple[int, int] | None:
    """South and west edge in degrees of the square a file's name says."""
    found = NAME.match(name)
    if found is None:
        return None
    south, west = int(found[2]), int(found[4])
    return (
        -south if found[1].upper() == "S" else south,
        -west if found[3].upper() == "W" else west,
    )


def tile_name(south: int, west: int) -> str:
    """The name of the square with this corner, without its ending."""
    return f"{'S' if south < 0 else 'N'}{abs(south):02d}{'W' if west < 0 else 'E'}{abs(west):03d}"


def read_hgt(path: Path, box: Box, progress: Progress) -> ElevationGrid | None:
    """The part of a square within a box, and of its neighbours in the same folder where the box goes on.

    Raises
    ------
    UnreadableFile
        With a sentence, when name or size are not those of such a file.
    """
    corner = corner_of(path.name)
    if corner is None:
        raise UnreadableFile(message("ground.no_square", name=path.name))
    side = _side(path)
    step = 1.0 / (side - 1)
    souths = range(int(np.floor(box.south_deg)), int(np.floor(box.north_deg)) + 1)
    wests = range(int(np.floor(box.west_deg)), int(np.floor(box.east_deg)) + 1)
    if corner[0] not in souths or corner[1] not in wests:
        return None
    north, west = float(souths[-1] + 1), float(wests[0])
    shape = (len(souths) * (side - 1) + 1, len(wests) * (side - 1) + 1)
    cut = window_of(box, north, west, (step, step), shape)
    whole = cut.unknown()
    squares = [(south, east) for south in souths for east in wests]
    for done, (south, east) in enumerate(squares):
        progress(done / len(squares))
        file = path if (south, east) == corner else path.with_name(tile_name(south, east) + path.suffix)
        if not file.is_file() or _side(file) != side:
            continue
        # Where this square begins among the posts of all.
        row, column = (souths[-1] - south) * (side - 1), (east - wests[0]) * (side - 1)
        top, bottom = max(cut.top, row), min(cut.bottom, row + side)
        if top < bottom:
            cut.put(whole, _posts(file, side, top - row, bottom - row), top, column)
    return cut.grid(whole, north, west, (step, step))


def _side(path: Path) -> int:
    """Posts along a side, by the file's size."""
    size = path.stat().st_size
    for side in SIDES:
        if size == side * side * 2:
            return side
    raise UnreadableFile(message("ground.wrong_size", name=path.name, size=size))


def _posts(path: Path, side: int, first: int, behind: int) -> Array:
    """Some rows and columns of a square in metres, NaN where unknown; only those rows are read."""
    with open_regular(path) as stream:
        stream.seek(first * side * 2)
        raw = stream.read((behind - first) * side * 2)
    posts = np.frombuffer(raw, dtype=">i2").reshape(-1, side)
    return np.where(posts == VOID, np.nan, posts.astype(float))
