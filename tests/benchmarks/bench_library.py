"""Ten thousand outings in one library: what opening, listing, adding and checking cost.

Run by hand: ``python tests/benchmarks/bench_library.py [OUTINGS]`` with ``app`` and ``tests`` on the path.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from helpers.summaries import PLAIN
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Inputs, Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.model.recording import content_hash

OUTINGS = 10_000
FILE_BYTES = 60_000
"""Half of what a two-hour recording is in FIT; incompressible here, which is the worst case."""

LIST_WITHIN_S = 0.3
"""A list a person waits for; what this benchmark is about [project choice]."""


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else OUTINGS
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "library.sqlite3"
        with Library.create(path) as library:
            athlete = library.athletes.add(Athlete(new_identity(), "trail patrol"))
            library.bands.put(BandPeriod(athlete.identity, Ground.FOOT, date(1990, 1, 1), Band(112, 131)))
            seconds = timed(lambda: fill(library, athlete, count))
            print(f"{count} outings kept in {seconds:.1f} s, {1000 * seconds / count:.2f} ms each")
        size = path.stat().st_size
        print(f"library: {size / 2**20:.0f} MB, {size / count / FILE_BYTES:.3f} of the files' size")
        return measure(path, athlete, count)


def fill(library: Library, athlete: Athlete, count: int) -> None:
    chance = random.Random(1)
    inputs = library.inputs(athlete.identity)
    for number in range(count):
        start = datetime(1995, 1, 1, 8, tzinfo=UTC) + timedelta(days=number)
        facts = OutingFacts(0, start, 3600.0, "hiking", False, f"Round {number}")
        aim = inputs.aim(Ground.FOOT, start.date())
        row = replace(PLAIN, start_utc=start, title=facts.title, ascent_m=chance.uniform(0, 1500))
        result = Result(row, 1, input_key(aim, Ground.FOOT))
        original = packed(chance.randbytes(FILE_BYTES))
        library.imports.keep(athlete.identity, original, f"{number}.fit", [IncomingOuting(facts, result)])


def measure(path: Path, athlete: Athlete, count: int) -> int:
    who = athlete.identity
    with Library.open(path) as library:
        some = library.outings.of(who)[count // 2]
        inputs = library.inputs(who)
        newer = (*inputs.periods, BandPeriod(who, Ground.FOOT, some.start_utc.date(), Band(115, 135)))
        digest = content_hash(b"never seen")
        costs = {
            "list of outings": lambda: library.outings.of(who),
            "summaries for the months": lambda: library.results.summaries(who),
            "stale outings, none": lambda: library.stale_outings(1, who),
            "stale outings, a new band over half": lambda: library.results.stale(1, Inputs(athlete, newer)),
            "original of one outing": lambda: library.outings.original(some.identity),
            "whether a content is known": lambda: library.imports.known(who, digest),
            "a changed load, on the disk": lambda: library.outings.set_load(some.identity, 0.0),
            "open and close": lambda: Library.open(path).close(),
            "check": library.check,
            "check with all files": lambda: library.check(files=True),
            "backup": lambda: library.backup(path.with_name("backup.sqlite3")),
        }
        assert len(library.outings.of(who)) == len(library.results.summaries(who)) == count
        assert library.stale_outings(1, who) == ()
        spent = {
            name: best(act, 1 if name.startswith(("check", "backup")) else 5) for name, act in costs.items()
        }
    for name, seconds in spent.items():
        print(f"{name:<38}{1000 * seconds:>10.2f} ms {1e6 * seconds / count:>9.2f} us per outing")
    ratio = spent["list of outings"] / LIST_WITHIN_S
    print(f"list of outings: {ratio:.2f} of the {LIST_WITHIN_S} s a person may wait")
    return 0 if ratio < 1.0 else 1


def best(act: Callable[[], object], times: int) -> float:
    return min(timed(act) for _ in range(times))


def timed(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


if __name__ == "__main__":
    sys.exit(main())
