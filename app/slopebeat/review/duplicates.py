"""What an arriving recording is to those that are kept: new, another of one outing, or the whole of parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from slopebeat.files.reading import read
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.library.takeover import OutingMatch
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Mark
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.people import Ground
from slopebeat.model.recording import Recording
from slopebeat.model.samples import GAP_LIMIT_S
from slopebeat.model.track import Array


@dataclass(frozen=True, eq=False)
class MatchedOuting:
    """An outing kept of another file that is of the same outing as an arrival."""

    outing: StoredOuting
    trace: Trace


def match_of(
    library: Library,
    athlete: str,
    arrival: IncomingOuting,
    trace: Trace,
    content_hash: str,
    proposed: Sequence[Mark],
) -> OutingMatch | None:
    """What to do with an arrival that is another recording of what is kept; None where it is new.

    The recording that tells more is kept. It takes the place of several only where these are parts of it from
    files and on ground of one kind: else somebody had a reason to keep them apart.

    Parameters
    ----------
    proposed : marks cleaning proposes for the arrival.
    """
    met = list(matching_outings(library, athlete, trace, content_hash))
    if not met:
        return None
    fullest = met[0]
    for each in met[1:]:
        if each.trace.tells_more_than(fullest.trace):
            fullest = each
    same = OutingMatch(fullest.outing.identity)
    if not trace.tells_more_than(fullest.trace) or not _are_parts(met, arrival):
        return same
    parts = tuple(each.outing.identity for each in met if each is not fullest)
    decided = [(library.outings.marks(each.outing.identity), each.trace) for each in met]
    return replace(same, takes_over=True, parts=parts, marks=carried_marks(proposed, decided, trace))


def matching_outings(
    library: Library, athlete: str, trace: Trace, content_hash: str
) -> Iterator[MatchedOuting]:
    """Outings of other files that the recording is of; only of those near in time is the file read."""
    if not trace.clock_was_set:
        return
    for near in library.imports.nearby(athlete, trace.start_utc, trace.end_utc):
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
                yield MatchedOuting(outing, kept)


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


def _are_parts(met: Sequence[MatchedOuting], arrival: IncomingOuting) -> bool:
    files = {each.outing.content_hash for each in met}
    grounds = {each.outing.ground for each in met}
    ground = Ground.BIKE if arrival.facts.on_bike else Ground.FOOT
    return len(met) == 1 or (len(files) == len(met) and grounds == {ground})


CLOCK_SET = datetime(2001, 1, 1, tzinfo=UTC)
"""A recording dated earlier comes from a device whose clock was never set: such clocks begin at 1970, 1980,
1989-12-31 (FIT) or 2000; a year is left for one that has run since [project choice]."""

SHARE_INSIDE = 0.8
"""Share of the shorter recording that lies in the time of the longer, where both are of one outing
[project choice]."""

LEAST_MOMENTS = 6
"""Moments both recordings know something of, before they are compared [project choice]."""

LEAST_SHARE = 0.25
"""The same as a share of the moments that are looked at [project choice]."""

MOST_MOMENTS = 600
"""Moments looked at, evenly over the records of the shorter recording [project choice]."""

SAME_PLACE_M = 50.0
"""Median distance of two recordings on one body: receivers are off by metres, clocks by seconds
[project choice]."""

SAME_HEART_BPM = 3.0
"""Median difference of two heart rates of one heart [project choice]."""

SAME_HEART_CORRELATION = 0.8
"""Least correlation of them, where they vary at all [project choice]."""

LEAST_HEART_S = 600.0
"""Time both know the heart rate in, before it alone decides: over a few minutes two hearts often run alike
[project choice]. Measured on 79 recordings, pieces of one laid into another at random: 2 of 424 shorter
pieces passed for the same heart, none of 931 that shared this long or longer, where 97 % of true pieces with
2 bpm of noise were found."""

CLOCKS_APART_S = np.arange(-60.0, 61.0, 5.0)
"""How far the clocks of two devices may be apart [project choice]: some are set by hand."""

RECEIVERS_APART_S = np.arange(-20.0, 21.0, 5.0)
"""The same where both know their places, and so the satellites' time: that is 18 s ahead of UTC until a
receiver has heard of the leap seconds (IERS Bulletin C; 18 s since 2017). Wider, rides along one way with
wrong clocks look like one."""

STEADY_BPM = 1.0
"""Heart rates that vary less cannot be correlated; they have to agree this closely [project choice]."""

LONGER_BY_S = 30.0
"""Copies of one recording differ by less than this in length [project choice]."""

MOST_RECORDS = 20_000
"""Records of a trace; of longer recordings every second, third ... is taken [project choice]."""


@dataclass(frozen=True, eq=False)
class Trace:
    """What two recordings are compared by.

    Attributes
    ----------
    start_utc : of the first record. t_s : (n,) seconds from there, rising.
    hr_bpm, lat_deg, lon_deg : (n,), NaN where unknown.
    recorded_s : time with records. heart_s : time with heart rate.
    """

    start_utc: datetime
    t_s: Array
    hr_bpm: Array
    lat_deg: Array
    lon_deg: Array
    recorded_s: float
    heart_s: float

    @property
    def end_utc(self) -> datetime:
        return self.start_utc + timedelta(seconds=self.span_s)

    @property
    def span_s(self) -> float:
        return float(self.t_s[-1]) if self.t_s.size else 0.0

    @property
    def clock_was_set(self) -> bool:
        return self.start_utc >= CLOCK_SET

    def tells_more_than(self, other: Trace) -> bool:
        """Whether this is the one to keep of two recordings of an outing.

        That is the longer; but minutes are counted by heart rate, so of two that differ in how long they have
        it the one with more of it.
        """
        more_heart_s = self.heart_s - other.heart_s
        if abs(more_heart_s) > LONGER_BY_S:
            return more_heart_s > 0.0
        return self.recorded_s > other.recorded_s + LONGER_BY_S


def trace_of(recording: Recording) -> Trace:
    """The trace of a recording as it was read, before any cleaning."""
    columns = ("t_s", "hr_bpm", "lat_deg", "lon_deg")
    t, hr, lat, lon = (recording.samples[name] for name in columns)
    step_s = np.diff(t)
    known = step_s <= GAP_LIMIT_S
    beating = known & np.isfinite(hr[1:]) & np.isfinite(hr[:-1])
    every = slice(None, None, max(1, -(-t.size // MOST_RECORDS)))
    return Trace(
        start_utc=recording.start_utc,
        t_s=t[every],
        hr_bpm=hr[every],
        lat_deg=lat[every],
        lon_deg=lon[every],
        recorded_s=float(step_s[known].sum()),
        heart_s=float(step_s[beating].sum()),
    )


def same_outing(one: Trace, other: Trace) -> bool:
    """Whether two recordings overlap in time and agree where they do.

    Places decide where both have some: two days with one band have much the same heart rate. Recordings with
    nothing in common to compare are of two outings.
    """
    if not (one.clock_was_set and other.clock_was_set):
        return False
    short, long = sorted((one, other), key=lambda trace: trace.recorded_s)
    apart_s = (short.start_utc - long.start_utc) / timedelta(seconds=1)
    moments = short.t_s[:: max(1, -(-short.t_s.size // MOST_MOMENTS))]
    then = moments + apart_s
    if moments.size == 0 or np.mean((then >= 0.0) & (then <= long.span_s)) < SHARE_INSIDE:
        return False
    here, hearts = _at(short, moments, "lat_deg", "lon_deg"), _at(short, moments, "hr_bpm")
    placed = [
        great_circle_m(*here, *_at(long, then + off_s, "lat_deg", "lon_deg")) for off_s in RECEIVERS_APART_S
    ]
    away_m = [each[np.isfinite(each)] for each in map(np.atleast_1d, placed)]
    away_m = [each for each in away_m if _are_enough(each.size, moments.size)]
    if away_m:
        return any(bool(np.median(each) <= SAME_PLACE_M) for each in away_m)
    return any(
        _one_heart(moments, np.vstack([hearts, _at(long, then + off_s, "hr_bpm")]))
        for off_s in CLOCKS_APART_S
    )


def _are_enough(known: int, looked_at: int) -> bool:
    return known >= max(LEAST_MOMENTS, LEAST_SHARE * looked_at)


def _one_heart(t_s: Array, hr_bpm: Array) -> bool:
    """Whether heart rates of shape (2, n) at the moments (n,) are those of one heart, long enough to tell."""
    both = np.isfinite(hr_bpm).all(axis=0)
    known = hr_bpm[:, both]
    if not _are_enough(known.shape[1], t_s.size) or np.ptp(t_s[both]) < LEAST_HEART_S:
        return False
    off_bpm = float(np.median(np.abs(known[0] - known[1])))
    if known.std(axis=1).min() < STEADY_BPM:
        return off_bpm <= STEADY_BPM
    together = np.atleast_2d(np.corrcoef(known))[0, 1]
    return off_bpm <= SAME_HEART_BPM and bool(together >= SAME_HEART_CORRELATION)


def _at(trace: Trace, t_s: Array, *columns: str) -> Array:
    """(columns, n) values at some moments, NaN where no two records near enough enclose one."""
    values = np.vstack([getattr(trace, name) for name in columns])
    here = np.isfinite(values).all(axis=0)
    t, values = trace.t_s[here], values[:, here]
    if t.size == 0:
        return np.full((len(columns), t_s.size), np.nan)
    before = np.clip(np.searchsorted(t, t_s, side="right") - 1, 0, t.size - 1)
    behind = np.clip(np.searchsorted(t, t_s, side="left"), 0, t.size - 1)
    enclosed = (t[before] <= t_s) & (t[behind] >= t_s) & (t[behind] - t[before] <= GAP_LIMIT_S)
    return np.where(enclosed, np.vstack([np.interp(t_s, t, row) for row in values]), np.nan)
