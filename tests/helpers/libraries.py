"""Libraries filled through their own interface, for tests of the window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

from helpers.outings import an_outing
from helpers.summaries import outing
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.basis import Basis
from slopebeat.model.evidence import WALK, OutingSummary
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.review.summary import COMPUTATION_VERSION

FIRST = datetime(2026, 1, 5, 8, tzinfo=UTC)


def keep(library: Library, athlete: str, summaries: Sequence[OutingSummary]) -> None:
    """Put outings with stated figures in; each from a file of its own that holds no recording."""
    inputs = library.inputs(athlete)
    for number, summary in enumerate(summaries):
        ground = Ground.BIKE if summary.on_bike else Ground.FOOT
        aim = inputs.aim(ground, summary.start_utc.date(), summary.load_kg)
        facts = OutingFacts(
            0, summary.start_utc, summary.utc_offset_s, summary.sport, summary.on_bike, summary.title
        )
        result = Result(summary, COMPUTATION_VERSION, input_key(aim, ground))
        library.imports.keep(
            athlete,
            packed(f"no recording {number}".encode()),
            f"{summary.title}.gpx",
            [IncomingOuting(facts, result, summary.load_kg)],
        )


def teach(library: Library, athlete: str, levels: Sequence[float]) -> None:
    """Let the outings on foot teach, each a level of heart rate at its usual work."""
    rng = np.random.default_rng(7)
    on_foot = [one for one in library.outings.of(athlete) if not one.on_bike]
    for one, level in zip(on_foot, levels, strict=False):
        kept = library.results.get(one.identity)
        assert kept is not None
        taught = an_outing(0.0, level, rng, kind=WALK, start_utc=one.start_utc)
        library.results.put(one.identity, replace(kept, evidence=taught))


def warden(library: Library) -> Athlete:
    """A hut warden with a prescription and a band on foot and on a bike."""
    athlete = library.athletes.add(
        Athlete(new_identity(), "Hut warden", 1980, sessions_per_week=2, minutes_per_week=90.0)
    )
    band = Band(112, 131, basis=Basis.own("Stated"))
    for ground in Ground:
        library.bands.put(BandPeriod(athlete.identity, ground, date(2026, 1, 1), band))
    return athlete


def walks(count: int = 12) -> list[OutingSummary]:
    """A walk every fourth day, the fifth by bike, with decoupling that falls by half a point each time."""
    return [
        outing(
            start_utc=FIRST + timedelta(days=4 * i),
            title=f"Ridge {i}",
            on_bike=i == 4,
            sport="mountain biking" if i == 4 else "hiking",
            steep_share=0.1 if i % 2 else 0.8,
            recorded_s=3000.0 if i == 1 else 7200.0,
            load_kg=12.0 if i == 2 else 0.0,
            mid_band_speed_mps=1.5 + 0.001 * i,
            terrain_fair_percent=9.0 - 0.5 * i,
            terrain_fair_low=8.0 - 0.5 * i,
            terrain_fair_high=10.0 - 0.5 * i,
        )
        for i in range(count)
    ]


_made: dict[int, bytes] = {}


def made(path: Path, count: int = 12) -> None:
    """A library of a warden and her walks; made once per count, as every outing waits for the disk."""
    if count not in _made:
        with Library.create(path) as library:
            keep(library, warden(library).identity, walks(count))
        _made[count] = path.read_bytes()
    path.write_bytes(_made[count])
