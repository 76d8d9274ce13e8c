"""The ways of outings in a library."""

from __future__ import annotations

import gzip
import sqlite3
import zlib
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.libraries import keep, walks, warden
from helpers.ways import HUT, along, curved, way
from slopebeat.library.store import Library
from slopebeat.library.ways import (
    DEGREE,
    VALUE_STEPS,
    points_of,
    points_packed,
    values_of,
    values_packed,
)
from slopebeat.model.way import Box, Way, WayPoints, WayValues

EARLIER = Path(__file__).parent / "files"


def put(library: Library, outing: str, kept: Way | None) -> None:
    result = library.results.get(outing)
    assert result is not None
    library.results.put(outing, replace(result, way=kept))


@pytest.fixture
def outings(library: Library) -> list[str]:
    athlete = warden(library).identity
    keep(library, athlete, walks(4))
    return [outing.identity for outing in library.outings.of(athlete)]


def athlete_of(library: Library) -> str:
    return next(iter(library.athletes)).identity


@given(st.lists(st.tuples(st.floats(-89.0, 89.0), st.floats(-180.0, 180.0)), max_size=40))
@settings(max_examples=50, deadline=None)
def test_points_come_back_to_a_metre(places: list[tuple[float, float]]) -> None:
    lat, lon = np.array(places).reshape(-1, 2).T
    back = points_of(points_packed(WayPoints(lat, lon, np.arange(lat.size) // 7)))
    assert np.abs(back.lat_deg - lat).max(initial=0.0) <= 0.51 * DEGREE
    assert np.abs(back.lon_deg - lon).max(initial=0.0) <= 0.51 * DEGREE
    assert back.piece.tolist() == [number // 7 for number in range(lat.size)]


@given(st.lists(st.one_of(st.just(float("nan")), st.floats(-500.0, 9000.0)), max_size=30))
@settings(max_examples=50, deadline=None)
def test_values_come_back_to_their_step_and_the_unknown_as_such(column: list[float]) -> None:
    whole = WayValues(*np.tile(np.array(column), (len(VALUE_STEPS), 1)))
    back = values_of(values_packed(whole))
    for name, step in zip(vars(whole), VALUE_STEPS, strict=True):
        found = getattr(back, name)
        assert np.array_equal(np.isnan(found), np.isnan(column))
        assert np.nanmax(np.abs(found - column), initial=0.0) <= 0.501 * step


def test_a_way_is_kept_with_its_result_and_goes_with_its_outing(library: Library, outings: list[str]) -> None:
    made = way(*curved(1), hr_bpm=131.0, work_w_per_kg=7.5)
    put(library, outings[0], made)
    kept = library.ways.of(outings[0])
    assert kept is not None
    assert kept.facts == made.facts
    assert np.allclose(kept.points.lat_deg, made.points.lat_deg, atol=DEGREE)
    assert set(kept.values.hr_bpm.tolist()) == {131.0}
    assert library.ways.of(outings[1]) is None
    assert [line.outing for line in library.ways.lines(athlete_of(library))] == [outings[0]]
    library.outings.remove([outings[0]])
    assert library.ways.lines(athlete_of(library)) == ()
    with closing(sqlite3.connect(library.path)) as connection:
        assert connection.execute("SELECT count(*) FROM way").fetchone()[0] == 0


def test_lines_come_in_order_of_time_and_only_those_that_meet_a_box(
    library: Library, outings: list[str]
) -> None:
    here = curved(1)
    east, north = curved(2)
    there = east + 30_000.0, north + 30_000.0
    put(library, outings[2], way(*here))
    put(library, outings[1], way(*there))
    put(library, outings[3], way(np.zeros(9), np.zeros(9)))  # without a way
    athlete = athlete_of(library)
    assert [line.outing for line in library.ways.lines(athlete)] == [outings[1], outings[2]]
    box = way(*here).points.box
    assert box is not None
    assert [line.outing for line in library.ways.lines(athlete, box)] == [outings[2]]
    corner = Box(box.north_deg, box.east_deg, box.north_deg + 0.01, box.east_deg + 0.01)
    assert [line.outing for line in library.ways.lines(athlete, corner)] == [outings[2]]
    beyond = Box(box.north_deg + 0.001, box.west_deg, box.north_deg + 0.01, box.east_deg)
    assert library.ways.lines(athlete, beyond) == ()


def test_a_way_that_is_as_it_was_stays_with_what_was_found_along_it(
    library: Library, outings: list[str]
) -> None:
    def identities() -> list[int]:
        with closing(sqlite3.connect(library.path)) as connection:
            return [row[0] for row in connection.execute("SELECT searched FROM way")]

    put(library, outings[0], way(*curved(1)))
    with closing(sqlite3.connect(library.path)) as connection, connection:
        line, along_it = connection.execute("SELECT line, along FROM way").fetchone()
        otherwise = [zlib.compress(zlib.decompress(each), 9) for each in (line, along_it)]
        assert otherwise[1] != along_it, "as an earlier version packed it"
        connection.execute("UPDATE way SET searched = 9, line = ?, along = ?", otherwise)
    put(library, outings[0], way(*curved(1)))
    assert identities() == [9]
    put(library, outings[0], way(*curved(1), hr_bpm=140.0))
    assert identities() == [0]
    put(library, outings[0], None)
    assert identities() == []


@pytest.mark.parametrize("column", ["line", "along", "facts"])
def test_a_damaged_way_is_named_and_left_out(library: Library, outings: list[str], column: str) -> None:
    put(library, outings[0], way(*along([(0.0, 0.0), (900.0, 0.0)])))
    with closing(sqlite3.connect(library.path)) as connection, connection:
        connection.execute(f"UPDATE way SET {column} = x'0102'")
    assert library.ways.of(outings[0]) is None
    assert [found.key for found in library.damage.found] == ["library.lost_way"]


@pytest.mark.parametrize("name", ["version_1.sqlite3.gz", "version_3.sqlite3.gz", "everything_3.sqlite3.gz"])
def test_a_library_of_an_earlier_version_gets_its_ways_by_being_reviewed_again(
    tmp_path: Path, name: str
) -> None:
    path = tmp_path / "library.sqlite3"
    path.write_bytes(gzip.decompress((EARLIER / name).read_bytes()))
    with Library.open(path) as library:
        assert library.check() == ()
        for athlete in library.athletes:
            assert library.ways.lines(athlete.identity) == ()
            for outing in library.outings.of(athlete.identity):
                if library.results.get(outing.identity) is not None:
                    put(library, outing.identity, way(*curved(1), plane=HUT))
                    assert library.ways.of(outing.identity) is not None
