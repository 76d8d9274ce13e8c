"""The search for ground that was gone before: each way beside the places that are kept and earlier ways."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.ground.align import together
from slopebeat.analysis.ground.cells import CellIndex, Cells, cells_around, cells_of
from slopebeat.analysis.ground.places import (
    LEAST_STRETCH_M,
    Cut,
    cut_places,
    pass_figures,
    similar_rises,
    times_passed,
)
from slopebeat.library.places import FoundPass, FoundPlace, KeptCells
from slopebeat.library.store import Library
from slopebeat.model.numerics import true_runs
from slopebeat.model.way import POINT_M, Way, WayPoints, no_points

SEARCH_VERSION = 1
"""Raised by one whenever places are found or measured otherwise: ways are then searched again."""

CELLS_SHARE = 0.6
"""Of a place's cells a way must go through, to be looked at closely [project choice]; with 5 m of error more
than three quarters are shared."""

LEAST_CELLS = 4
"""Cells two ways have in common when they share the shortest stretch [project choice]."""

MOST_PARTNERS = 12
"""Earlier ways that one is set beside, those with most in common first, where new places are looked for
[project choice]; passes over these are then looked for in all."""

MOSTLY = 0.5
"""Of a new place that no other place covers on its own way [project choice]."""

WAYS_IN_MEMORY = 64
"""Ways held while searching [project choice]."""

Mask = NDArray[np.bool_]

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class SearchReport:
    """What a search found: new places, and passes over places that were kept."""

    ways: int = 0
    new_places: int = 0
    passes: int = 0


def find_ground(
    library: Library, athlete: str | None = None, progress: Progress | None = None
) -> SearchReport:
    """Search all ways of an athlete, or of all, that were not searched yet.

    Each is on the disk before the next starts; stopped by ``progress``, the next call goes on with the rest.
    """
    athletes = [each.identity for each in library.athletes] if athlete is None else [athlete]
    waiting = [(who, library.places.not_searched(who, SEARCH_VERSION)) for who in athletes]
    total, done, report = sum(len(ways) for _, ways in waiting), 0, SearchReport()
    for who, ways in waiting:
        search = GroundSearch(library, who) if ways else None
        for way in ways:
            if progress is not None:
                progress(done, total, "")
            assert search is not None
            places, passes = search.search(way)
            report = SearchReport(report.ways + 1, report.new_places + places, report.passes + passes)
            done += 1
    if progress is not None and total:
        progress(total, total, "")
    return report


def find_again(library: Library, athlete: str, progress: Progress | None = None) -> SearchReport:
    """Forget an athlete's places and find all of them again."""
    library.places.forget(athlete)
    return find_ground(library, athlete, progress)


class GroundSearch:
    """Searches ways of one athlete, one after the other; what it found is kept before the next."""

    def __init__(self, library: Library, athlete: str) -> None:
        self._library = library
        self._athlete = athlete
        self._places = _indexed(library.places.place_cells(athlete))
        self._gains = {place.identity: place.gain_m for place in library.places.of(athlete)}
        self._way = lru_cache(WAYS_IN_MEMORY)(library.places.way)
        self._place = lru_cache(4 * WAYS_IN_MEMORY)(library.places.points)

    @cached_property
    def _ways(self) -> CellIndex:
        return _indexed(self._library.places.way_cells(self._athlete))

    def search(self, number: int) -> tuple[int, int]:
        """Search one way by its number in the library; how many new places and passes were found."""
        way = self._way(number)
        if way is None or not len(way):
            self._library.places.keep(self._athlete, number, SEARCH_VERSION, cells_of(no_points()), (), ())
            return 0, 0
        cells, around = cells_of(way.points), cells_around(way.points)
        known = self._known(number, way, around)
        free = _free(len(way), ((found.first, found.last) for _, found in known))
        new = self._new(number, way, free)
        before = self._ways if "_ways" in vars(self) else None
        kept = self._library.places.keep(self._athlete, number, SEARCH_VERSION, cells, known, new)
        for identity, place in zip(kept, new, strict=False):
            self._places.add(identity, place.cells)
            self._gains[identity] = place.gain_m
        if before is not None:
            before.add(number, cells)
        return len(new), len(known) + sum(len(place.passes) for place in new)

    def _known(self, number: int, way: Way, around: Cells) -> list[tuple[int, FoundPass]]:
        """Passes over the places that are kept."""
        shared, whole = self._places.in_common(around)
        found = []
        for at in np.flatnonzero(shared >= CELLS_SHARE * whole).tolist():
            place = self._places.identities[at]
            points = self._place(place)
            if points is None:
                continue
            gone = _gone(number, way, points, self._gains.get(place))
            found += [(place, each) for each in gone]
        return found

    def _new(self, number: int, way: Way, free: Mask) -> list[FoundPlace]:
        """Places on what is left of a way, where earlier ones went as well."""
        new: list[FoundPlace] = []
        for first, last in _long_enough(free):
            stretches = self._shared(way.points, first, last)
            while stretches:
                begin, end = max(stretches, key=lambda each: each[1] - each[0])
                for cut in cut_places(way, begin, end):
                    if free[cut.first : cut.last].mean() < MOSTLY:
                        continue  # The next lap over a place that was just found.
                    place = self._founded(number, way, cut)
                    if len({found.way for found in place.passes}) > 1:
                        new.append(place)
                        for found in place.passes:
                            if found.way == number:
                                free[found.first : found.last] = False
                free[begin:end] = False
                stretches = [each for part in stretches for each in _still_free(part, free)]
        return new

    def _shared(self, points: WayPoints, first: int, last: int) -> list[tuple[int, int]]:
        """Stretches of a part of a way that earlier ways went along."""
        part = points.part(first, last)
        shared, _ = self._ways.in_common(cells_around(part))
        likely = np.argsort(-shared, kind="stable")[:MOST_PARTNERS]
        found = []
        for at in likely[shared[likely] >= LEAST_CELLS].tolist():
            other = self._way(self._ways.identities[at])
            if other is not None:
                shares = together(part, other.points, LEAST_STRETCH_M)
                found += [(first + int(each.one[0]), first + int(each.one[-1])) for each in shares]
        return found

    def _founded(self, number: int, way: Way, cut: Cut) -> FoundPlace:
        """A place with the passes over it in all ways searched so far and in its own."""
        points = way.points.part(cut.first, cut.last)
        cells = cells_of(points)
        shared, _ = self._ways.in_common(cells_around(points))
        others = [
            self._ways.identities[at] for at in np.flatnonzero(shared >= CELLS_SHARE * cells.size).tolist()
        ]
        passes = [_found(number, way, cut.first, cut.last, cut.gain_m)]
        again = _gone(number, way, points, cut.gain_m)
        passes += [each for each in again if each.last <= cut.first or each.first >= cut.last]
        for other in others:
            there = self._way(other)
            if there is not None and other != number:
                passes += _gone(other, there, points, cut.gain_m)
        return FoundPlace(cut.kind, cut.length_m, cut.gain_m, points, cells, tuple(passes))


def _indexed(kept: KeptCells) -> CellIndex:
    made = CellIndex()
    made.fill(kept.identities, kept.sizes, kept.cells)
    return made


def _found(number: int, way: Way, first: int, last: int, gain_m: float | None) -> FoundPass:
    return FoundPass(number, first, last, pass_figures(way, first, last, gain_m))


def _gone(number: int, way: Way, place: WayPoints, gain_m: float | None) -> list[FoundPass]:
    return [
        _found(number, way, first, last, gain_m)
        for first, last in times_passed(place, way.points)
        if similar_rises(way, first, last, gain_m)
    ]


def _free(size: int, taken: Iterable[tuple[int, int]]) -> Mask:
    free = np.ones(size, dtype=bool)
    for first, last in taken:
        free[first:last] = False
    return free


def _long_enough(free: Mask) -> list[tuple[int, int]]:
    """First and last point of each run of free points that may hold a place."""
    runs = ((first, behind - 1) for first, behind in true_runs(free))
    return [(first, last) for first, last in runs if (last - first) * POINT_M >= LEAST_STRETCH_M]


def _still_free(part: tuple[int, int], free: Mask) -> list[tuple[int, int]]:
    first, last = part
    here = np.zeros(free.size, dtype=bool)
    here[first : last + 1] = free[first : last + 1]
    return _long_enough(here)
