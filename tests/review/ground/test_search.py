"""The search in a library: places found, kept with every pass, and found again."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from helpers.libraries import keep, walks, warden
from helpers.ways import along, curved, off, way
from slopebeat.library.store import Library
from slopebeat.model.errors import Cancelled
from slopebeat.model.track import Array
from slopebeat.model.way import CLIMB, STRETCH, Way
from slopebeat.review.ground.search import SEARCH_VERSION, find_again, find_ground

STEEP = 0.1


def noisy(places: tuple[Array, Array], seed: int, error_m: float = 3.0, **rest: object) -> Way:
    rng = np.random.default_rng(seed)
    return way(*places, error=off(places[0].size, error_m, rng), **rest)  # type: ignore[arg-type]


@pytest.fixture
def library(tmp_path: Path):  # type: ignore[no-untyped-def]
    with Library.create(tmp_path / "library.sqlite3") as made:
        warden(made)
        yield made


def athlete(library: Library) -> str:
    return next(iter(library.athletes)).identity


def put(library: Library, *ways: Way) -> list[str]:
    """Keep so many outings, each with its way; their identities in order of time."""
    keep(library, athlete(library), walks(len(ways)))
    outings = [outing.identity for outing in library.outings.of(athlete(library))]
    for outing, each in zip(outings, ways, strict=True):
        put_way(library, outing, each)
    return outings


def put_way(library: Library, outing: str, kept: Way) -> None:
    result = library.results.get(outing)
    assert result is not None
    library.results.put(outing, replace(result, way=kept))


def counts(library: Library) -> dict[int, int]:
    found: dict[int, int] = {}
    for each in library.places.passes(athlete(library)):
        found[each.place] = found.get(each.place, 0) + 1
    return found


def test_a_way_gone_three_times_becomes_places_with_three_passes_each(library: Library) -> None:
    round_way = curved(1, 3600.0)
    put(library, *(noisy(round_way, seed) for seed in range(3)))
    report = find_ground(library)
    assert report.ways == 3
    places = library.places.of(athlete(library))
    assert sum(place.length_m for place in places) == pytest.approx(3600.0, abs=250.0)
    assert set(counts(library).values()) == {3}
    assert find_ground(library).ways == 0


def test_a_climb_is_a_place_of_its_own_and_its_pass_is_measured(library: Library) -> None:
    x, y = along([(0.0, 0.0), (4000.0, 0.0)])
    height = 500.0 + STEEP * np.clip(x - 1000.0, 0.0, 800.0)
    ways = [
        noisy((x, y), 1, elevation_m=height, hr_bpm=140.0, speed_mps=1.25),
        noisy((x, y), 2, elevation_m=height, hr_bpm=134.0, speed_mps=1.0),
    ]
    put(library, *ways)
    find_ground(library)
    (climb,) = (place for place in library.places.of(athlete(library)) if place.kind == CLIMB)
    assert climb.length_m == pytest.approx(800.0, abs=60.0)
    assert climb.gain_m == pytest.approx(80.0, abs=4.0)
    first, second = (p.figures for p in library.places.passes(athlete(library)) if p.place == climb.identity)
    # By hand: 800 m at 1.25 and 1.0 m/s are 640 and 800 s; 80 m in 800 s are 360 m/h.
    assert first.moving_s == pytest.approx(640.0, rel=0.08)
    assert second.climb_m_per_h == pytest.approx(360.0, rel=0.08)
    assert [first.hr_bpm, second.hr_bpm] == pytest.approx([140.0, 134.0])
    assert first.heart_s == pytest.approx(first.moving_s - 60.0, abs=12.0)
    assert first.start_s == pytest.approx(1000.0 / 1.25, rel=0.05)


def test_the_way_back_is_other_ground(library: Library) -> None:
    x, y = curved(2, 2500.0)
    put(library, noisy((x, y), 1), noisy((x[::-1], y[::-1]), 2))
    find_ground(library)
    assert library.places.of(athlete(library)) == ()


def test_a_way_over_the_same_spots_at_other_heights_is_other_ground(library: Library) -> None:
    """A lift over a path, say: 160 m of climb where the other ways rise by 80."""
    x, y = along([(0.0, 0.0), (3000.0, 0.0)])
    rise = np.clip(x - 1000.0, 0.0, 800.0)
    heights = [500.0 + share * STEEP * rise for share in (1.0, 2.0, 1.0)]
    ways = [noisy((x, y), number, elevation_m=height) for number, height in enumerate(heights)]
    outings = put(library, *ways)
    find_ground(library)
    (climb,) = (place for place in library.places.of(athlete(library)) if place.kind == CLIMB)
    assert climb.gain_m == pytest.approx(80.0, abs=4.0)
    over = [each.outing for each in library.places.passes(athlete(library)) if each.place == climb.identity]
    assert over == [outings[0], outings[2]]


def test_laps_are_passes_of_one_outing_and_make_no_place_alone(library: Library) -> None:
    turn = np.linspace(0.0, 2.0 * np.pi, 800)
    lap = 260.0 * np.cos(turn), 260.0 * np.sin(turn)
    laps = np.tile(lap[0], 3), np.tile(lap[1], 3)
    keep(library, athlete(library), walks(2))
    first, second = library.outings.of(athlete(library))
    put_way(library, first.identity, noisy(laps, 1))
    find_ground(library)
    assert library.places.of(athlete(library)) == ()
    put_way(library, second.identity, noisy(lap, 3))
    find_ground(library)
    assert max(counts(library).values()) >= 3


def test_a_lap_that_two_outings_went_round_and_round_is_cut_once(library: Library) -> None:
    turn = np.linspace(0.0, 2.0 * np.pi, 1000)
    lap = 350.0 * np.cos(turn), 350.0 * np.sin(turn)
    laps = np.tile(lap[0], 4), np.tile(lap[1], 4)
    put(library, noisy(laps, 1), noisy(laps, 2))
    find_ground(library)
    # 2.2 km round, some of it cut again where a place lies over the beginning of a lap.
    assert sum(place.length_m for place in library.places.of(athlete(library))) < 3500.0
    assert max(counts(library).values()) >= 6


def test_partly_shared_ground_is_found_beside_the_places_that_are_kept(library: Library) -> None:
    x, y = along([(0.0, 0.0), (5000.0, 0.0)])
    half = slice(0, x.size // 2)
    other = along([(2600.0, -2000.0), (2600.0, 0.0), (5000.0, 0.0)])
    put(library, noisy((x, y), 1), noisy((x[half], y[half]), 2), noisy(other, 3))
    find_ground(library)
    passes = library.places.passes(athlete(library))
    outings = [outing.identity for outing in library.outings.of(athlete(library))]
    gone = {outing: sum(p.last - p.first for p in passes if p.outing == outing) * 10.0 for outing in outings}
    assert gone[outings[1]] == pytest.approx(2500.0, abs=200.0)
    assert gone[outings[2]] == pytest.approx(2400.0, abs=250.0)
    assert {place.kind for place in library.places.of(athlete(library))} == {STRETCH}


def test_all_is_found_again_in_whatever_order_outings_came(library: Library) -> None:
    shared = [curved(seed, 1500.0) for seed in (3, 4)]
    ways = [noisy(shared[number % 2], number) for number in range(6)]
    put(library, *ways)
    find_ground(library)
    before = sorted(counts(library).values())
    assert before == [3] * len(before)
    find_again(library, athlete(library))
    assert sorted(counts(library).values()) == before
    # An early outing that is reviewed again meets the places that later ones made.
    outing = library.outings.of(athlete(library))[0].identity
    put_way(library, outing, noisy(shared[0], 77, hr_bpm=150.0))
    assert sorted(counts(library).values()) != before
    find_ground(library)
    assert sorted(counts(library).values()) == before


def test_places_go_with_the_last_outing_and_nothing_of_them_stays(library: Library) -> None:
    outings = put(library, *(noisy(curved(5, 1200.0), seed) for seed in range(2)))
    find_ground(library)
    assert library.places.of(athlete(library))
    library.outings.remove(outings)
    with closing(sqlite3.connect(library.path)) as connection:
        for table in ("way", "way_cells", "place", "place_pass"):
            assert connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] == 0, table


def test_a_search_that_is_stopped_goes_on_where_it_was(library: Library) -> None:
    put(library, *(noisy(curved(6, 1200.0), seed) for seed in range(4)))

    def stop(done: int, _total: int, _name: str) -> None:
        if done == 2:
            raise Cancelled

    with pytest.raises(Cancelled):
        find_ground(library, progress=stop)
    assert len(library.places.not_searched(athlete(library), SEARCH_VERSION)) == 2
    told: list[tuple[int, int]] = []
    assert find_ground(library, progress=lambda done, total, _: told.append((done, total))).ways == 2
    assert told == [(0, 2), (1, 2), (2, 2)]
    assert set(counts(library).values()) == {4}


def test_damage_to_what_was_found_is_told_and_mended_by_finding_again(library: Library) -> None:
    put(library, *(noisy(curved(7, 1200.0), seed) for seed in range(2)))
    find_ground(library)
    whole = counts(library)
    with closing(sqlite3.connect(library.path)) as connection, connection:
        connection.execute("UPDATE place_pass SET figures = '{' WHERE first_point = first_point")
        connection.execute("UPDATE place SET line = x'00'")
        connection.execute("UPDATE way_cells SET cells = 'none'")
    assert library.places.passes(athlete(library)) == ()
    assert [found.key for found in library.damage.found] == ["library.lost_ground"]
    find_again(library, athlete(library))
    assert sorted(counts(library).values()) == sorted(whole.values())
