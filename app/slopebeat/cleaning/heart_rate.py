"""Doubts about the heart rate: spikes, implausible values, frozen and missing stretches, step locking."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.cleaning.smoothing import smooth
from slopebeat.model.bands import PLAUSIBLE_BPM
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.samples import step_rate_per_min
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array

FASTEST_CHANGE_BPM_PER_S = 5.0
"""A first-order response of 80 bpm with a time constant of 20 s changes by at most 4 bpm/s; faster is
doubted [project choice, no published limit]."""

SMALLEST_SPIKE_BPM = 10.0
"""... if it also changes by this much within ``SPIKE_RISE_S``: straps step by 6-8 bpm in one record when
they catch up, and that is no artefact [project choice]."""

SPIKE_RISE_S = 3.0
"""Time a jump takes at most [project choice]."""

SPIKE_PAIR_S = 60.0
"""A jump answered by one back within this time is marked whole; a lone one only around itself
[project choice]."""

SPIKE_MARGIN_S = 2.0
"""Marked before and after a lone jump [project choice]."""

FROZEN_S = 60.0
"""One heart rate for longer than this, while the work changed, is doubted [project choice]."""

FROZEN_SPEED_SHARE = 0.5
"""The work changed when speed ranged over this share of its mean [project choice]."""

FROZEN_CLIMB_MPS = 0.15
"""... or the vertical speed over this much, 540 m/h [project choice]."""

DROP_OUT_S = 5.0
"""Missing heart rate for this long is pointed out [project choice]."""

LOCKED_S = 60.0
"""Following the step rate for this long is doubted [project choice]."""

LOCKED_BPM = 2.0
"""... within this distance of it [project choice]."""

LOCKED_CORRELATION = 0.8
"""... and moving with it beyond a common trend: one equal by chance does not follow single changes of
step [project choice]."""


def heart_rate_marks(column: dict[str, Array], broken_s: Array, on_bike: bool) -> list[Mark]:
    """All marks on heart rate.

    Parameters
    ----------
    column : sample columns by name, each (n,).
    broken_s : (n,) seconds of pause and gap after each sample.
    """
    t, hr = column["t_s"], column["hr_bpm"]
    if not np.isfinite(hr).any():
        return []
    low, high = PLAUSIBLE_BPM
    with np.errstate(invalid="ignore"):
        implausible = (hr < low) | (hr > high)
    found = {
        Reason.IMPLAUSIBLE: Spans.from_mask(t, implausible),
        Reason.SPIKE: _spikes(t, np.where(implausible, np.nan, hr)),
        Reason.DROP_OUT: _drop_outs(t, hr, broken_s),
        Reason.FROZEN: _frozen(t, hr, column, broken_s),
    }
    if not on_bike:
        found[Reason.STEP_LOCKED] = _step_locked(t, hr, column["cadence_rpm"])
    marks = [
        Mark(start, end, Channel.HEART_RATE, reason)
        for reason, spans in found.items()
        for start, end in spans
    ]
    return marks + _last_record(t, implausible, found[Reason.IMPLAUSIBLE])


def _last_record(t: Array, implausible: NDArray[np.bool_], spans: Spans) -> list[Mark]:
    """A mark on an implausible last record, where no range reaches it: it lasts no time of its own."""
    last = float(t[-1])
    if not implausible[-1] or (len(spans) and spans.end_s[-1] >= last):
        return []
    return [Mark(last, last, Channel.HEART_RATE, Reason.IMPLAUSIBLE)]


def _spikes(t: Array, hr: Array) -> Spans:
    known = np.flatnonzero(np.isfinite(hr))
    if known.size < 2:
        return Spans.empty()
    t, hr = t[known], hr[known]
    pairs: list[tuple[float, float]] = []
    marked_until = -np.inf
    jumps = _jumps(t, hr)
    for n, i in enumerate(jumps):
        if t[i] < marked_until:
            continue
        end = _undone_at(t, hr, jumps, n)
        if end is None:
            pairs.append((max(0.0, t[i + 1] - SPIKE_MARGIN_S), t[i + 1] + SPIKE_MARGIN_S))
        else:
            pairs.append((t[i + 1], t[end]))
        marked_until = pairs[-1][1]
    return Spans.from_pairs(pairs)


def _jumps(t: Array, hr: Array) -> list[int]:
    """Records after which the heart rate changes too fast and too far."""
    fast = np.flatnonzero(np.abs(np.diff(hr)) > FASTEST_CHANGE_BPM_PER_S * np.diff(t))
    after = np.searchsorted(t, t[fast] + SPIKE_RISE_S, side="right")
    return [
        int(i)
        for i, end in zip(fast, after, strict=True)
        if np.max(np.abs(hr[i + 1 : max(end, i + 2)] - hr[i])) >= SMALLEST_SPIKE_BPM
    ]


def _undone_at(t: Array, hr: Array, jumps: list[int], n: int) -> int | None:
    """First record after a jump back that undoes at least half of the nth one; None when none does soon."""
    jump = jumps[n]
    change = hr[jump + 1] - hr[jump]
    for j in (jumps[later] for later in range(n + 1, len(jumps))):
        if t[j + 1] - t[jump] > SPIKE_PAIR_S:
            return None
        if (hr[j + 1] - hr[j]) * change < 0 and abs(hr[j + 1] - hr[jump]) < abs(change) / 2:
            return j + 1
    return None


def _drop_outs(t: Array, hr: Array, broken_s: Array) -> Spans:
    missing = np.isnan(hr) & (broken_s == 0.0)
    return Spans.from_mask(t, missing).at_least(DROP_OUT_S)


def _frozen(t: Array, hr: Array, column: dict[str, Array], broken_s: Array) -> Spans:
    same = np.append(np.diff(hr) == 0.0, False) & (broken_s == 0.0)
    spans = Spans.from_mask(t, same).at_least(FROZEN_S)
    if not len(spans):
        return spans
    distance, elevation = column["distance_m"], column["elevation_m"]
    _, speed = smooth(t, distance, 10.0, broken_s)
    _, climb = smooth(t, elevation, 10.0, broken_s)
    kept = []
    for start, end in spans:
        here = (t >= start) & (t <= end)
        if _range(speed[here]) > FROZEN_SPEED_SHARE * _mean(speed[here]) or (
            _range(climb[here]) > FROZEN_CLIMB_MPS
        ):
            kept.append((start, end))
    return Spans.from_pairs(kept)


def _step_locked(t: Array, hr: Array, cadence_rpm: Array) -> Spans:
    """Stretches where the heart rate moves with the step rate; recorded cadence counts one leg."""
    steps = step_rate_per_min(cadence_rpm)
    with np.errstate(invalid="ignore"):
        close = np.abs(hr - steps) <= LOCKED_BPM
    spans = Spans.from_mask(t, close).bridged(5.0).at_least(LOCKED_S)
    kept = []
    for start, end in spans:
        here = (t >= start) & (t <= end) & np.isfinite(hr) & np.isfinite(steps)
        if np.count_nonzero(here) < 2:
            continue
        a, b = _without_trend(t[here], hr[here]), _without_trend(t[here], steps[here])
        if a.size > 10 and a.std() > 0 and b.std() > 0 and np.corrcoef(a, b)[0, 1] > LOCKED_CORRELATION:
            kept.append((start, end))
    return Spans.from_pairs(kept)


def _without_trend(t: Array, x: Array) -> Array:
    return np.asarray(x - np.polyval(np.polyfit(t, x, 1), t))


def _range(x: Array) -> float:
    known = x[np.isfinite(x)]
    return float(np.ptp(known)) if known.size else 0.0


def _mean(x: NDArray[np.float64]) -> float:
    known = x[np.isfinite(x)]
    return float(known.mean()) if known.size else 0.0
