"""Which outings of a library are parts of one; found again after every change of what it holds."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from itertools import pairwise

from slopebeat.analysis.day.parts import MOST_BETWEEN_S, Ends, days_of
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library


def find_days(library: Library, athlete: str | None = None) -> int:
    """Find the days in parts of an athlete, or of all, and keep them; how many outings changed theirs.

    An outing that was not reviewed yet has no end and is one by itself.
    """
    athletes = [each.identity for each in library.athletes] if athlete is None else [athlete]
    return sum(_find(library, each) for each in athletes)


def put_joined(library: Library, athlete: str, joined_by_user: Mapping[str, bool | None]) -> None:
    """Keep what the user said of outings, and what follows for the days; see :func:`days_of`."""
    with library.together():
        library.days.put_joined(joined_by_user)
        _find(library, athlete)


def _find(library: Library, athlete: str) -> int:
    ends = _ends(library, athlete)
    joined_by_user, before = library.days.joined_by_user(athlete), library.days.of(athlete)
    known = [identity for identity, _ in ends]
    groups = days_of([each for _, each in ends], [joined_by_user.get(identity) for identity in known])
    days: dict[str, str | None] = dict.fromkeys(before)
    for group in groups:
        if len(group) > 1:
            days.update(dict.fromkeys((known[i] for i in group), known[group[0]]))
    changed = {identity: day for identity, day in days.items() if before.get(identity) != day}
    if changed:
        library.days.put(changed)
    return len(changed)


def _ends(library: Library, athlete: str) -> list[tuple[str, Ends]]:
    """When each reviewed outing began and ended, and where, for those that another follows within minutes."""
    spans = {
        kept.identity: kept.evidence.recorded_s if kept.evidence.span_s is None else kept.evidence.span_s
        for kept in library.results.evidence(athlete)
    }
    outings = [each for each in library.outings.of(athlete) if each.identity in spans]
    close: set[str] = set()
    for one, other in pairwise(outings):
        apart_s = (other.start_utc - _end(one, spans)).total_seconds()
        if 0.0 <= apart_s <= MOST_BETWEEN_S:
            close |= {one.identity, other.identity}
    places = library.ways.ends(sorted(close))
    found = []
    for outing in outings:
        where = places.get(outing.identity)
        first, last = (None, None) if where is None else (where.first, where.last)
        ends = Ends(outing.start_utc, _end(outing, spans), first, last, outing.content_hash)
        found.append((outing.identity, ends))
    return found


def _end(outing: StoredOuting, spans: Mapping[str, float]) -> datetime:
    return outing.start_utc + timedelta(seconds=spans[outing.identity])
