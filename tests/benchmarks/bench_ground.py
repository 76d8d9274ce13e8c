"""What ground gone before costs in a large library: ``python tests/benchmarks/bench_ground.py [OUTINGS]``.

With ``app`` and ``tests`` on the path; ``--write`` keeps the table beside this file. Ways are invented: each
outing goes two of some loops and a way of its own, with positions that are off by 4 m. A thousand are
searched one by one; a larger library holds copies of them, with their passes.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from time import process_time

import numpy as np

from helpers.summaries import outing as summary
from helpers.ways import FIRST, curved, way
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.model.way import Way
from slopebeat.review.ground.ground import review_ground
from slopebeat.review.ground.repeated import repeated_ground
from slopebeat.review.ground.search import GroundSearch, find_ground

LOOPS, LOOP_M, OWN_M = 14, 3000.0, 900.0
OFF_M, WANDER = 4.0, 20.0
"""How far positions are off, and over how many points of five metres that wanders."""
NEW = 12
"""New outings the time of one is the middle of."""

GOAL_S = 0.3
SEARCHED = 1000
YEAR_US = 365 * 86_400 * 10**6

HEAD = (
    "| outings | places | passes | searched, each | a new outing on kept places | goal | met | "
    "a new outing that makes places | all places and days reviewed | one outing's ground |\n"
    "| --: | --: | --: | --: | --: | --: | :-- | --: | --: | --: |"
)


def gone(names: tuple[int, ...], seed: int) -> Way:
    """The loops of these names one after the other, and a way of its own."""
    rng = np.random.default_rng(seed)
    parts = []
    for name in names:
        x, y = curved(name, LOOP_M, 5.0)
        parts.append((x + 4000.0 * (name % 5), y + 4000.0 * (name // 5)))
    own = curved(10_000 + seed, OWN_M, 5.0)
    place = rng.uniform(-20_000.0, 20_000.0, 2)
    parts.insert(int(rng.integers(0, len(parts) + 1)), (own[0] + place[0], own[1] + place[1]))
    x, y = (np.concatenate(each) for each in zip(*parts, strict=True))
    knots = np.arange(0.0, x.size + WANDER, WANDER)
    east, north = (np.interp(np.arange(x.size), knots, rng.normal(0.0, OFF_M, knots.size)) for _ in "en")
    return way(x, y, day=float(seed), error=(east, north), hr_bpm=130.0 + float(rng.normal(0.0, 5.0)))


def put(library: Library, athlete: str, number: int, kept: Way) -> None:
    """Keep one outing with its way."""
    start = FIRST + timedelta(hours=number)
    facts = OutingFacts(0, start, 0.0, "hiking", False, f"Round {number}")
    told = replace(kept, facts=replace(kept.facts, start_utc=start))
    result = Result(summary(start_utc=start), 1, "key", way=told)
    library.imports.keep(athlete, packed(str(number).encode()), "round.fit", [IncomingOuting(facts, result)])


def copy(path: Path, count: int) -> None:
    """Add so many outings that are copies of those that are there, with their ways and passes."""
    with closing(sqlite3.connect(path)) as connection, connection:
        outings = connection.execute("SELECT * FROM outing ORDER BY start_us").fetchall()
        names = [each[1] for each in connection.execute("PRAGMA table_info(outing)")]
        identity, start, activity = (names.index(each) for each in ("identity", "start_us", "activity"))
        ways = {row[1]: row for row in connection.execute("SELECT * FROM way")}
        cells = dict(connection.execute("SELECT way, cells FROM way_cells").fetchall())
        passes: dict[int, list[tuple[object, ...]]] = {}
        for row in connection.execute("SELECT * FROM place_pass"):
            passes.setdefault(row[1], []).append(row)
        newest = max(cells, default=0)
        for number in range(count):
            outing = list(outings[number % len(outings)])
            way = list(ways[outing[identity]])
            old, way[0] = way[0], newest + number + 1
            outing[identity] = way[1] = new_identity()
            outing[start] += YEAR_US * (1 + number // len(outings))
            outing[activity] = 1 + number // len(outings)
            for table, values in (("outing", outing), ("way", way), ("way_cells", [way[0], cells[old]])):
                connection.execute(f"INSERT INTO {table} VALUES ({', '.join('?' * len(values))})", values)
            for place, _, *rest in passes.get(old, []):
                connection.execute("INSERT INTO place_pass VALUES (?, ?, ?, ?, ?)", (place, way[0], *rest))


def chosen(number: int) -> tuple[int, ...]:
    rng = np.random.default_rng([1, number])
    return tuple(int(each) for each in rng.choice(LOOPS, 2, replace=False))


def clocked(act: Callable[[], object]) -> float:
    begun = process_time()
    act()
    return process_time() - begun


def measured(count: int, folder: Path) -> str:
    """One row of the table."""
    with Library.create(folder / f"{count}.sqlite3") as library:
        athlete = library.athletes.add(Athlete(new_identity(), "Hut warden")).identity
        own = min(count, SEARCHED)
        with library.together():
            for number in range(own):
                put(library, athlete, number, gone(chosen(number), number))
        all_s = clocked(lambda: find_ground(library, athlete)) / own
    copy(folder / f"{count}.sqlite3", count - own)
    with Library.open(folder / f"{count}.sqlite3") as library:
        kept_s, made_s = [], []
        for number in range(count, count + NEW):
            put(library, athlete, number, gone(chosen(number), number))
            kept_s.append(_one(library, athlete))
        for number in range(NEW):
            for again in range(2):
                put(
                    library,
                    athlete,
                    count + NEW + 2 * number + again,
                    gone((LOOPS + number,), 7 * count + number),
                )
                spent = _one(library, athlete)
            made_s.append(spent)
        places, passes = library.places.of(athlete), library.places.passes(athlete)
        review_s = clocked(lambda: review_ground(library.places.of(athlete), library.places.passes(athlete)))
        identity = passes[-1].outing
        beside_s = clocked(lambda: repeated_ground(identity, library.places.beside(identity)))
    middle = float(np.median(kept_s))
    cells = (
        f"{count:,} | {len(places)} | {len(passes):,} | {1000.0 * all_s:.0f} ms | {middle:.3f} s "
        f"(at most {max(kept_s):.3f}) | {GOAL_S} s | {'yes' if middle <= GOAL_S else 'no'} | "
        f"{float(np.median(made_s)):.3f} s | {review_s:.2f} s | {beside_s:.3f} s"
    )
    return f"| {cells} |"


def _one(library: Library, athlete: str) -> float:
    """Seconds of the search for one new outing, as it is after an import: with everything read anew."""
    (number,) = library.places.not_searched(athlete, 1)
    return clocked(lambda: GroundSearch(library, athlete).search(number))


if __name__ == "__main__":
    counts = [int(each) for each in sys.argv[1:] if each.isdigit()] or [1000, 10_000]
    lines = [HEAD]
    with tempfile.TemporaryDirectory() as place:
        for count in counts:
            lines.append(measured(count, Path(place)))
            print(lines[-1], flush=True)
    if "--write" in sys.argv:
        text = "# What ground gone before costs\n\nMade by `bench_ground.py`, in seconds of the processor on "
        text += "a shared machine under load; an outing is about 7 km.\n\n" + "\n".join(lines) + "\n"
        Path(__file__).with_suffix(".md").write_text(text, encoding="utf-8")
