"""Find records a wrong device clock stamped, and when the timer was off."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.fit.content import FitContent, number, text
from slopebeat.model.spans import Spans

CLOCK_JUMP_S = 24 * 3600.0
"""Longest time between two records with the timer running that is still believed [project choice]."""

CLOCK_SET_BACK_S = 300.0
"""A step back in time longer than this is not a matter of records out of order [project choice]."""

_STARTS = frozenset({"start"})
_STOPS = frozenset({"stop", "stop_all", "stop_disable", "stop_disable_all"})


def timer_pauses(content: FitContent, end_s: float) -> Spans:
    """When the timer was off, from the ``timer`` events alone; a stop without a start lasts to ``end_s``.

    Elapsed and timer totals are not used: in real files they miss hours with the unit switched off.

    Parameters
    ----------
    end_s : time of the last record, seconds since the FIT epoch, as are the pauses returned.
    """
    events = []
    for fields in content.all_of("event"):
        time, kind = number(fields, "timestamp"), text(fields, "event_type")
        if time is not None and text(fields, "event") == "timer" and kind in _STARTS | _STOPS:
            events.append((time, kind in _STOPS))
    # Stable: a start and a stop in one second keep the order of the file.
    events.sort(key=lambda event: event[0])
    pairs: list[tuple[float, float]] = []
    stopped_s: float | None = None
    for time, is_stop in events:
        if is_stop and stopped_s is None:
            stopped_s = time
        elif not is_stop and stopped_s is not None:
            pairs.append((stopped_s, time))
            stopped_s = None
    if stopped_s is not None:
        pairs.append((stopped_s, end_s))
    return Spans.from_pairs(pairs)


def trusted_records(time_s: NDArray[np.float64], pauses: Spans) -> NDArray[np.bool_]:
    """Which records carry a time that fits the bulk of the recording.

    A clock set back leaves two runs of records that overlap in time; a clock set forward leaves a
    hole longer than :data:`CLOCK_JUMP_S` that no pause explains. The largest part is kept.

    Parameters
    ----------
    time_s : shape (n,), in the order of the file, NaN where absent; those are never trusted.
    """
    trusted = np.isfinite(time_s)
    for parts in (_runs_in_file_order, _clusters_in_time):
        where = np.flatnonzero(trusted)
        if where.size < 2:
            return trusted
        label = parts(time_s[where], pauses)
        largest = np.argmax(np.bincount(label))
        trusted[where[label != largest]] = False
    return trusted


def _runs_in_file_order(time_s: NDArray[np.float64], _pauses: Spans) -> NDArray[np.intp]:
    """Label runs between steps back; runs that do not overlap the largest one get its label."""
    label = np.concatenate(([0], np.cumsum(np.diff(time_s) < -CLOCK_SET_BACK_S)))
    count = int(label[-1]) + 1
    if count == 1:
        return label
    largest = int(np.argmax(np.bincount(label)))
    first = np.array([time_s[label == run].min() for run in range(count)])
    last = np.array([time_s[label == run].max() for run in range(count)])
    apart = (last < first[largest]) | (first > last[largest])
    return np.where(apart, largest, np.arange(count))[label]


def _clusters_in_time(time_s: NDArray[np.float64], pauses: Spans) -> NDArray[np.intp]:
    """Label groups of records with no believable way from one to the next."""
    order = np.argsort(time_s, kind="stable")
    ordered = time_s[order]
    running_s = np.diff(ordered) - pauses.overlap_s(ordered[:-1], ordered[1:])
    label = np.empty(time_s.size, dtype=np.intp)
    label[order] = np.concatenate(([0], np.cumsum(running_s > CLOCK_JUMP_S)))
    return label
