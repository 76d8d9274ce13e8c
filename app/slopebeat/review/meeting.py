"""What an arriving recording is to those that are kept: new, another of one outing, or the whole of parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from slopebeat.files.reading import read
from slopebeat.library.arrivals import Arrival
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.library.takeover import Meeting
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Mark
from slopebeat.model.people import Ground
from slopebeat.review.traces import Trace, same_outing, trace_of


@dataclass(frozen=True, eq=False)
class Met:
    """An outing kept of another file that is of the same outing as an arrival."""

    outing: StoredOuting
    trace: Trace


def meeting_of(
    library: Library,
    athlete: str,
    arrival: Arrival,
    trace: Trace,
    content_hash: str,
    proposed: Sequence[Mark],
) -> Meeting | None:
    """What to do with an arrival that is another recording of what is kept; None where it is new.

    The recording that tells more is kept. It takes the place of several only where these are parts of it from
    files and on ground of one kind: else somebody had a reason to keep them apart.

    Parameters
    ----------
    proposed : marks cleaning proposes for the arrival.
    """
    met = list(outings_met(library, athlete, trace, content_hash))
    if not met:
        return None
    fullest = met[0]
    for each in met[1:]:
        if each.trace.tells_more_than(fullest.trace):
            fullest = each
    same = Meeting(fullest.outing.identity)
    if not trace.tells_more_than(fullest.trace) or not _are_parts(met, arrival):
        return same
    parts = tuple(each.outing.identity for each in met if each is not fullest)
    decided = [(library.outings.marks(each.outing.identity), each.trace) for each in met]
    return replace(same, takes_over=True, parts=parts, marks=carried_marks(proposed, decided, trace))


def outings_met(library: Library, athlete: str, trace: Trace, content_hash: str) -> Iterator[Met]:
    """Outings of other files that the recording is of; only of those near in time is the file read."""
    if not trace.clock_was_set:
        return
    for near in library.arrivals.nearby(athlete, trace.start_utc, trace.end_utc):
        outing = near.outing
        if outing.content_hash == content_hash:
            continue
        try:
            recordings = read(library.outings.original(outing.identity), name=outing.file_name).recordings
        except UserError:
            continue  # A damaged original is no reason to keep a sound one out.
        if outing.activity < len(recordings):
            kept = trace_of(recordings[outing.activity])
            if same_outing(trace, kept):
                yield Met(outing, kept)


def carried_marks(
    proposed: Iterable[Mark], decided: Sequence[tuple[tuple[Mark, ...] | None, Trace]], trace: Trace
) -> tuple[Mark, ...] | None:
    """Marks decided on parts, in seconds of the whole, with what cleaning proposes where nothing was decided.

    None where nothing was decided at all.
    """
    marks: list[Mark] = []
    covered: list[tuple[float, float]] = []
    for own, part in decided:
        if own is not None:
            shift_s = (part.start_utc - trace.start_utc) / timedelta(seconds=1)
            moved = (replace(m, start_s=m.start_s + shift_s, end_s=m.end_s + shift_s) for m in own)
            marks += [replace(m, start_s=max(m.start_s, 0.0)) for m in moved if m.end_s >= 0.0]
            covered.append((shift_s, shift_s + part.span_s))
    if not covered:
        return None
    for mark in proposed:
        marks += [replace(mark, start_s=start, end_s=end) for start, end in _outside(mark, covered)]
    return tuple(sorted(marks, key=lambda mark: (mark.start_s, mark.end_s)))


def _outside(mark: Mark, covered: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """The parts of a mark's range that lie in none of some ranges."""
    if mark.end_s == mark.start_s:  # The last record alone.
        known = any(low <= mark.start_s <= high for low, high in covered)
        return [] if known else [(mark.start_s, mark.end_s)]
    left = [(mark.start_s, mark.end_s)]
    for low, high in covered:
        cut = [piece for start, end in left for piece in ((start, min(end, low)), (max(start, high), end))]
        left = [(start, end) for start, end in cut if start < end]
    return left


def _are_parts(met: Sequence[Met], arrival: Arrival) -> bool:
    files = {each.outing.content_hash for each in met}
    grounds = {each.outing.ground for each in met}
    ground = Ground.BIKE if arrival.facts.on_bike else Ground.FOOT
    return len(met) == 1 or (len(files) == len(met) and grounds == {ground})
