"""Small invented things to keep in a library."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from helpers.summaries import outing as summary
from slopebeat.library.imports import ImportedOuting, IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.people import Athlete, BandPeriod, Ground

START = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)


def facts(
    days: float = 0.0, activity: int = 0, on_bike: bool = False, offset_s: float | None = 0.0
) -> OutingFacts:
    sport = "mountain biking" if on_bike else "hiking"
    return OutingFacts(activity, START + timedelta(days=days), offset_s, sport, on_bike, "To the upper hut")


def warden(name: str = "hut warden") -> Athlete:
    return Athlete(new_identity(), name)


def keep(
    library: Library, athlete: Athlete, content: bytes, *found: OutingFacts
) -> tuple[ImportedOuting, ...]:
    """Keep a file of these activities, unreviewed."""
    arrivals = [IncomingOuting(each) for each in found]
    return library.imports.keep(athlete.identity, packed(content), "outing.fit", arrivals)


def review_all(library: Library, version: int = 1, athlete: str | None = None) -> None:
    """Give every stale outing, of all or of an athlete, a result, as if it had been reviewed."""
    for stale in library.stale_outings(version, athlete):
        key = input_key(stale.aim, stale.outing.ground, stale.marks)
        assert key == stale.input_key
        result = Result(summary(start_utc=stale.outing.start_utc), version, key)
        assert library.results.put(stale.outing.identity, result)


def period(
    athlete: Athlete, from_day: date, lower: int, upper: int, ground: Ground = Ground.FOOT
) -> BandPeriod:
    return BandPeriod(athlete.identity, ground, from_day, Band(lower, upper))
