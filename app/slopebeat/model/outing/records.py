"""What marks and notes say of each record: which are in doubt, the load, the air and the ground."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.marks import Channel, Mark
from slopebeat.model.notes import Note, NoteKind, by_writing
from slopebeat.model.spans import Spans


def records(mark: Mark, t_s: NDArray[np.float64]) -> slice:
    """The records of a recording that are in the range of a mark, found by search.

    Parameters
    ----------
    t_s : (n,) times of all its records, rising: the last of them is the recording's last.
    """
    first, behind = np.searchsorted(t_s, [mark.start_s, mark.end_s]).tolist()
    if t_s.size and mark.start_s <= t_s[-1] <= mark.end_s:
        behind = t_s.size
    return slice(first, behind)


def covers(mark: Mark, t_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    """The same as a mask of shape (n,)."""
    inside = np.zeros(t_s.shape, dtype=bool)
    inside[records(mark, t_s)] = True
    return inside


def covered(t_s: ArrayLike, marks: Iterable[Mark], channel: Channel) -> NDArray[np.bool_]:
    """Which records are in doubt: those under a mark on the channel that counts; arrays of shape (n,)."""
    t = np.asarray(t_s, dtype=float)
    ranges = [(mark.start_s, mark.end_s) for mark in marks if mark.channel is channel and mark.counts]
    inside = Spans.from_pairs(ranges).contains(t)
    if t.size:
        inside[-1] = any(start <= t[-1] <= end for start, end in ranges)
    return inside


def load_from_notes(notes: Iterable[Note], t_s: ArrayLike, default_kg: ArrayLike) -> NDArray[np.float64]:
    """Load carried at each time, (n,) kg, from the notes on load and a default where none says.

    A note on the whole outing replaces the default, one at a moment holds from there on, one on a range
    holds inside it and before all others; of two that say the same, the one written later. When a note was
    changed does not count, so that going back to what it said before changes nothing else.
    """
    return _values_at(NoteKind.LOAD, notes, t_s, default_kg)


def temperature_from_notes(notes: Iterable[Note], t_s: ArrayLike) -> NDArray[np.float64]:
    """Air temperature at each time, (n,) degC, from the notes on the weather; NaN where none says.

    Notes hold where and as long as those on load do (:func:`load_from_notes`).
    """
    return _values_at(NoteKind.WEATHER, notes, t_s, np.nan)


def grade_from_notes(notes: Iterable[Note], t_s: ArrayLike) -> NDArray[np.float64]:
    """Grade of the ground at each time, (n,) rise over run, as declared; NaN where no note says.

    Notes hold where and as long as those on load do (:func:`load_from_notes`).
    """
    return _values_at(NoteKind.GRADE, notes, t_s, np.nan) / 100.0


def _values_at(
    kind: NoteKind, notes: Iterable[Note], t_s: ArrayLike, default: ArrayLike
) -> NDArray[np.float64]:
    t = np.asarray(t_s, dtype=float)
    values = np.array(np.broadcast_to(default, t.shape), dtype=float)
    here = [n for n in notes if n.kind is kind and n.value is not None and not n.deleted]
    here.sort(key=by_writing)
    moments = [note for note in here if note.start_s is not None and note.end_s is None]
    for note in (
        *(note for note in here if note.start_s is None),
        *sorted(moments, key=lambda note: note.start_s or 0.0),
        *(note for note in here if note.end_s is not None),
    ):
        start = -np.inf if note.start_s is None else note.start_s
        end = np.inf if note.end_s is None else note.end_s
        values[(t >= start) & (t < end)] = note.value
    return values
