"""What lies behind the plan of an outing: the user's own elevation file as hills, and tiles of a map."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from slopebeat.analysis.ground.hillshade import hillshade
from slopebeat.files.ground.reading import read_elevation
from slopebeat.files.ground.tiles import Tiles, read_tiles
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.numerics import EARTH_RADIUS_M
from slopebeat.model.track import Array
from slopebeat.model.way import Box

Progress = Callable[[float], None]

AROUND, LEAST_AROUND_DEG = 0.6, 0.01
"""How far the ground is read around a way, in lengths of its frame, and at the least [project choice]."""


@dataclass(frozen=True, eq=False)
class Relief:
    """Light on the ground, (n, m) 0 to 1 from north to south, NaN where unknown; ``box`` edge to edge."""

    box: Box
    light: Array


NO_TILES = Tiles(())


@dataclass(frozen=True, eq=False)
class Backdrop:
    """Relief and tiles, and sentences about files that could not be read."""

    relief: Relief | None = None
    tiles: Tiles = NO_TILES
    problems: tuple[str, ...] = ()


NOTHING = Backdrop()


def box_around(lat_deg: Array, lon_deg: Array) -> Box | None:
    """The ground a plan may show of a way; None without positions."""
    known = np.isfinite(lat_deg) & np.isfinite(lon_deg)
    if not known.any():
        return None
    south, north = float(lat_deg[known].min()), float(lat_deg[known].max())
    west, east = float(lon_deg[known].min()), float(lon_deg[known].max())
    wide = math.cos(math.radians((south + north) / 2))
    room = max(AROUND * max(north - south, (east - west) * wide), LEAST_AROUND_DEG)
    across = room / max(wide, 0.05)
    return Box(max(south - room, -90.0), west - across, min(north + room, 90.0), east + across)


def read_backdrop(elevation: Path | None, tiles: Path | None, box: Box, progress: Progress) -> Backdrop:
    """What the files hold over a box; what cannot be read is a sentence, and the rest is shown."""
    problems = []
    relief, found = None, NO_TILES
    try:
        relief = None if elevation is None else _relief(elevation, box, lambda share: progress(share / 2))
        if elevation is not None and relief is None:
            problems.append(tr("{name} holds no elevations here.").format(name=elevation.name))
    except UserError as problem:
        problems.append(str(problem))
    try:
        if tiles is not None:
            found = read_tiles(tiles, box, lambda share: progress(0.5 + share / 2))
            if not found.tiles:
                problems.append(tr("{name} holds no tiles here.").format(name=tiles.name))
    except UserError as problem:
        problems.append(str(problem))
    return Backdrop(relief, found, tuple(problems))


def _relief(path: Path, box: Box, progress: Progress) -> Relief | None:
    grid = read_elevation(path, box, progress)
    if grid is None:
        return None
    here = grid.box
    per_degree = math.radians(1.0) * EARTH_RADIUS_M
    wide = math.cos(math.radians((here.south_deg + here.north_deg) / 2))
    light = hillshade(grid.elevation_m, grid.step_lon_deg * per_degree * wide, grid.step_lat_deg * per_degree)
    lat, lon = grid.step_lat_deg / 2, grid.step_lon_deg / 2
    edge = Box(here.south_deg - lat, here.west_deg - lon, here.north_deg + lat, here.east_deg + lon)
    return Relief(edge, light)
