"""Elevations and tiles, read from files that the tests build by the published layouts."""

from __future__ import annotations

import math
import sqlite3
import struct
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import tifffile

from helpers.elevation_files import BOX, plane, write_hgt, write_tiles
from slopebeat.files.ground.elevation import ElevationGrid
from slopebeat.files.ground.hgt import corner_of, tile_name
from slopebeat.files.ground.reading import read_elevation
from slopebeat.files.ground.tiles import box_of, read_tiles, tile_at
from slopebeat.model.errors import Cancelled, UnreadableFile
from slopebeat.model.way import Box


def quiet(_share: float) -> None:
    """Progress nobody looks at."""


def places(grid: ElevationGrid) -> tuple[np.ndarray, np.ndarray]:
    rows, columns = grid.elevation_m.shape
    lat = grid.north_deg - np.arange(rows)[:, None] * grid.step_lat_deg
    return lat, grid.west_deg + np.arange(columns)[None, :] * grid.step_lon_deg


@pytest.mark.parametrize(
    ("name", "corner"),
    [("N46E011.hgt", (46, 11)), ("S03W072.HGT", (-3, -72)), ("n00e000.hgt", (0, 0)), ("alps.hgt", None)],
)
def test_the_corner_of_a_square_stands_in_its_name(name: str, corner: tuple[int, int] | None) -> None:
    assert corner_of(name) == corner
    if corner is not None:
        assert corner_of(tile_name(*corner)) == corner


def test_a_square_is_cut_where_the_box_says(tmp_path: Path) -> None:
    grid = read_elevation(write_hgt(tmp_path, 46, 11), BOX, quiet)
    assert grid is not None
    box = grid.box
    # The whole box is covered, with no more than a post around it.
    assert box.south_deg <= BOX.south_deg < box.south_deg + 2 / 1200
    assert box.east_deg - 2 / 1200 < BOX.east_deg <= box.east_deg
    assert grid.elevation_m == pytest.approx(plane(*places(grid)), abs=0.51)


def test_squares_side_by_side_are_joined_and_missing_ones_left_open(tmp_path: Path) -> None:
    path = write_hgt(tmp_path, 46, 11)
    across = Box(46.40, 11.95, 46.45, 12.05)
    alone = read_elevation(path, across, quiet)
    assert alone is not None
    east = places(alone)[1][0] > 12.0 + 1e-9
    assert np.isnan(alone.elevation_m[:, east]).all()
    assert np.isfinite(alone.elevation_m[:, ~east]).all()
    write_hgt(tmp_path, 46, 12)
    both = read_elevation(path, across, quiet)
    assert both is not None
    assert both.elevation_m == pytest.approx(plane(*places(both)), abs=0.51)


def test_what_is_not_known_and_what_lies_elsewhere(tmp_path: Path) -> None:
    path = write_hgt(tmp_path, 46, 11, lambda lat, lon: np.where(lon < 11.87, -32768, 700.0) + 0 * lat)
    grid = read_elevation(path, BOX, quiet)
    assert grid is not None
    known = np.isfinite(grid.elevation_m[0])
    assert 0 < known.sum() < known.size
    assert set(np.unique(grid.elevation_m[:, known])) == {700.0}
    assert read_elevation(path, Box(10.0, 10.0, 10.1, 10.1), quiet) is None


@pytest.mark.parametrize("tiled", [False, True], ids=["strips", "tiles"])
@pytest.mark.parametrize("kind", [np.int16, np.float32])
@pytest.mark.parametrize("point", [False, True], ids=["area", "point"])
def test_a_geotiff_is_cut_where_the_box_says(tmp_path: Path, tiled: bool, kind: type, point: bool) -> None:
    step, north, west, side = 1 / 600, 46.6, 11.7, 300
    # By OGC 19-008r4 the tie point is a corner of the first cell, or its middle for PixelIsPoint.
    half = 0.0 if point else 0.5
    lat = north - (np.arange(side)[:, None] + half) * step
    lon = west + (np.arange(side)[None, :] + half) * step
    path = tmp_path / "ground.tif"
    write_geotiff(path, np.round(plane(lat, lon)).astype(kind), step, (north, west), point=point, tiled=tiled)
    grid = read_elevation(path, BOX, quiet)
    assert grid is not None
    assert grid.elevation_m == pytest.approx(plane(*places(grid)), abs=0.51)
    assert grid.box.north_deg >= BOX.north_deg
    assert grid.elevation_m.shape[0] < 70


def write_geotiff(
    path: Path,
    values: np.ndarray,
    step: float,
    corner: tuple[float, float],
    point: bool = False,
    tiled: bool = False,
    model: int = 2,
) -> None:
    keys = (1, 1, 0, 2, 1024, 0, 1, model, 1025, 0, 1, 2 if point else 1)
    tags = [
        (33550, "d", 3, (step, step, 0.0), True),
        (33922, "d", 6, (0.0, 0.0, 0.0, corner[1], corner[0], 0.0), True),
        (34735, "H", len(keys), keys, True),
        (42113, "s", 0, "-9999", True),
    ]
    how = {"tile": (64, 64)} if tiled else {"rowsperstrip": 16}
    tifffile.imwrite(path, values, extratags=tags, compression="zlib", photometric="minisblack", **how)


def test_what_a_geotiff_does_not_know_is_left_open(tmp_path: Path) -> None:
    values = np.full((300, 300), 800.0, np.float32)
    values[:, 150:] = -9999
    write_geotiff(tmp_path / "a.tif", values, 1 / 600, (46.6, 11.7))
    grid = read_elevation(tmp_path / "a.tif", Box(46.4, 11.9, 46.5, 12.0), quiet)
    assert grid is not None
    assert set(np.unique(grid.elevation_m[np.isfinite(grid.elevation_m)])) == {800.0}
    assert np.isnan(grid.elevation_m).any()


def damaged(tmp_path: Path) -> dict[str, tuple[Path, str]]:
    square = write_hgt(tmp_path, 46, 11)
    short = tmp_path / "N47E011.hgt"
    short.write_bytes(square.read_bytes()[:-100])
    strange = tmp_path / "alps.hgt"
    strange.write_bytes(square.read_bytes())
    metres, cut, picture = (tmp_path / name for name in ("metres.tif", "cut.tif", "photo.tif"))
    write_geotiff(metres, np.zeros((64, 64), np.int16), 30.0, (5_100_000.0, 700_000.0), model=1)
    write_geotiff(cut, np.arange(90_000).reshape(300, 300).astype(np.int16), 1 / 600, (46.6, 11.7))
    cut.write_bytes(cut.read_bytes()[:2000])
    tifffile.imwrite(picture, np.zeros((32, 32, 3), np.uint8), photometric="rgb")
    other = tmp_path / "walk.gpx"
    other.write_text("<gpx/>")
    return {
        "short": (short, "1201 or 3601"),
        "strange": (strange, "which square"),
        "metres": (metres, "EPSG:4326"),
        "cut": (cut, "cut.tif"),
        "picture": (picture, "a picture"),
        "other": (other, "HGT and GeoTIFF"),
        "missing": (tmp_path / "gone.hgt", "gone.hgt"),
    }


@pytest.mark.parametrize("case", ["short", "strange", "metres", "cut", "picture", "other", "missing"])
def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path: Path, case: str) -> None:
    path, said = damaged(tmp_path)[case]
    with pytest.raises(UnreadableFile) as refused:
        read_elevation(path, BOX, quiet)
    assert said in str(refused.value)
    assert str(refused.value).endswith(".")


# OGC 17-083r4, annex D: tiles of WebMercatorQuad; a worked example of its arithmetic is in the OpenStreetMap
# documentation of tile names: 35.6590699 N 139.7006793 E lies in tile 232798/103246 of zoom 18.
def test_a_place_lies_in_the_tile_that_is_published() -> None:
    assert tile_at(35.6590699, 139.7006793, 18) == (232798, 103246)
    box = box_of(232798, 103246, 18)
    assert box.south_deg <= 35.6590699 <= box.north_deg
    assert box.west_deg <= 139.7006793 <= box.east_deg
    # The square of the whole world ends at the latitude whose Mercator northing is half its girth.
    assert box_of(0, 0, 0).north_deg == pytest.approx(
        math.degrees(2 * math.atan(math.exp(math.pi)) - math.pi / 2)
    )


def test_tiles_come_at_the_finest_zoom_that_is_not_too_many_and_lie_where_they_belong(tmp_path: Path) -> None:
    path = tmp_path / "valley.mbtiles"
    write_tiles(path, range(8, 15))
    before = path.read_bytes()
    found = read_tiles(path, BOX, quiet)
    assert found.attribution == "Ordnance of the valley"
    zooms = {struct.unpack(">3i", tile.data)[0] for tile in found.tiles}
    # 0.15 degrees are 6.8 tiles at zoom 14 and 0.1 degrees of latitude 6.6: up to 8 by 8, more than 48.
    assert zooms == {13}
    for tile in found.tiles:
        zoom, x, y = struct.unpack(">3i", tile.data)
        assert tile.box == box_of(x, y, zoom)
    assert min(tile.box.west_deg for tile in found.tiles) <= BOX.west_deg
    assert max(tile.box.north_deg for tile in found.tiles) >= BOX.north_deg
    assert path.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == ["valley.mbtiles"]


def test_no_tiles_there_and_files_that_are_none(tmp_path: Path) -> None:
    path, vector, text = (tmp_path / name for name in ("a.mbtiles", "v.mbtiles", "t.mbtiles"))
    write_tiles(path, range(10, 12))
    assert read_tiles(path, Box(-10.0, -10.0, -9.9, -9.9), quiet).tiles == ()
    write_tiles(vector, range(10, 11), form="pbf")
    text.write_text("no database")
    broken = tmp_path / "b.mbtiles"
    broken.write_bytes(path.read_bytes()[:1024] + b"\0" * 3000)
    empty = tmp_path / "e.mbtiles"
    with closing(sqlite3.connect(empty)) as base:
        base.execute("CREATE TABLE other (a)")
        base.commit()
    for bad, said in ((vector, "pbf"), (text, "no MBTiles"), (broken, "damaged"), (empty, "damaged")):
        with pytest.raises(UnreadableFile, match=said):
            read_tiles(bad, BOX, quiet)


def test_reading_stops_when_it_is_asked_to(tmp_path: Path) -> None:
    def stop(share: float) -> None:
        raise Cancelled

    write_tiles(tmp_path / "a.mbtiles", range(10, 11))
    with pytest.raises(Cancelled):
        read_tiles(tmp_path / "a.mbtiles", BOX, stop)
    with pytest.raises(Cancelled):
        read_elevation(write_hgt(tmp_path, 46, 11), BOX, stop)
