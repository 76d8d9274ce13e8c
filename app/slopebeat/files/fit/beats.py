"""Heart rate a strap kept in its own memory: ``hr`` messages, merged into the records by time.

Such a message holds several beats: ``filtered_bpm`` of each, and when it was by the strap's own clock, as
``event_timestamp`` (1/1024 s) or as ``event_timestamp_12``, the lowest twelve bits of it. One with a
``timestamp`` says what time the strap's clock was at (FIT profile, message ``hr``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.fit.content import Beats, FitContent
from slopebeat.files.fit.layout import BYTES, NUMBERS, MessageLayout, StoredField
from slopebeat.files.fit.walk import TIMESTAMP, carried_on, stored_numbers
from slopebeat.files.limits import MOST_RECORDS, too_many

BEATS = "many.beats"
"""What is counted against a limit, as said when there is too much of it."""

HR_MESSAGE = 132
_FRACTION, _TIME256, _BPM, _EVENT, _EVENT_12 = 0, 1, 6, 9, 10
"""Numbers of the message ``hr`` and of its fields (FIT profile)."""

EVENT_HZ = 1024.0
FRACTION_HZ = 32_768.0
TIME256_HZ = 256.0
"""Scales of ``event_timestamp``, ``fractional_timestamp`` and ``time256`` (FIT profile)."""

CLOCK_EVENTS = 1 << 32
"""The strap's clock begins again after so many steps, 48 days: ``event_timestamp`` has 32 bits."""

CARRIED_STEP_S, CARRIED_S = 0.25, 5.0
"""A beat counts again every quarter of a second until the next, for at most 5 s (FIT SDK, "HR message
plugin"): so the mean over a record is one over time."""

_LOW_BITS = (1 << 12) - 1
_NO_BPM = (0, 0xFF)
_ABSENT = -1

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class _Events:
    """What the messages say of each beat, of shape (n,).

    ``order`` is the place in the file, ``raw`` the strap's clock, all of it where ``whole``, ``bpm`` -1 where
    absent, ``anchor_s`` the time said with it, else NaN.
    """

    order: Whole
    raw: Whole
    whole: NDArray[np.bool_]
    bpm: Whole
    anchor_s: Floats

    def chosen(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> _Events:
        return _Events(*(column[which] for column in vars(self).values()))


def beats_of(buffer: NDArray[np.uint8], layouts: Iterable[MessageLayout]) -> Beats | None:
    """All beats of a file's ``hr`` messages; None without any that can be placed in time.

    Beats before a time was said, or before the time said with them, are left out.

    Raises
    ------
    UnreadableFile
        When there are more than any recording has.
    """
    found = [each for each in layouts if each.message == HR_MESSAGE and each.starts]
    _check_count(found)
    parts = [events for layout in found if (events := _events(buffer, layout)) is not None]
    if not parts:
        return None
    columns = zip(*(vars(part).values() for part in parts), strict=True)
    together = _Events(*(np.concatenate(column) for column in columns))
    # Padding says no heart rate, and what it says of the clock is none.
    events = together.chosen(np.argsort(together.order, kind="stable"))
    events = events.chosen(events.whole | (events.bpm != _ABSENT))
    clock = carried_on(events.raw, events.whole, _LOW_BITS)
    at = np.maximum.accumulate(np.where(np.isfinite(events.anchor_s), np.arange(clock.size), _ABSENT))
    since = clock - clock[at]
    since = np.where(since < -CLOCK_EVENTS // 2, since + CLOCK_EVENTS, since)
    time_s = events.anchor_s[at] + since / EVENT_HZ
    good = (at != _ABSENT) & (since >= 0) & (events.bpm != _ABSENT)
    if not good.any():
        return None
    time_s, bpm = time_s[good], events.bpm[good].astype(float)
    order = np.argsort(time_s, kind="stable")
    return Beats(time_s[order], bpm[order])


def with_beats(contents: Sequence[FitContent]) -> list[FitContent]:
    """FIT files chained in one, the heart rate of all of them merged into the records of each.

    A device that takes a strap's memory over later writes it as a file of its own behind the recording.
    """
    found = [content.beats for content in contents if content.beats is not None]
    if not found:
        return list(contents)
    time_s, bpm = (np.concatenate(part) for part in zip(*((b.time_s, b.hr_bpm) for b in found), strict=True))
    order = np.argsort(time_s, kind="stable")
    beats = Beats(time_s[order], bpm[order])
    return [replace(content, records=merge_beats(content.records, beats)) for content in contents]


def merge_beats(records: Mapping[str, Floats], beats: Beats) -> dict[str, Floats]:
    """The records with the heart rate of the beats since the record before, where there are any.

    Each beat is carried on in steps of a quarter of a second; the mean is rounded as the SDK rounds it.
    Before the first record a second counts.
    """
    time_s = records["timestamp"]
    known = np.isfinite(time_s)
    ends, place = np.unique(time_s[known], return_inverse=True)
    if not ends.size:
        return dict(records)
    count, total = _sums_until(np.concatenate(([ends[0] - 1.0], ends)), beats)
    inside, beats_sum = np.diff(count), np.diff(total)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(inside > 0, np.floor(beats_sum / inside + 0.5), np.nan)
    heart_rate = records["heart_rate"].copy()
    heart_rate[known] = np.where(np.isfinite(mean[place]), mean[place], heart_rate[known])
    return {**records, "heart_rate": heart_rate}


def _sums_until(time_s: Floats, beats: Beats) -> tuple[Floats, Floats]:
    """How many beats, those carried on among them, lie up to each time, and the sum of their heart rates."""
    gap = np.append(np.diff(beats.time_s), np.inf)
    # Carried on while more than a step is left before the next; behind the last there is none to carry to.
    most = np.minimum(np.ceil(gap / CARRIED_STEP_S) - 1.0, CARRIED_S / CARRIED_STEP_S)
    carried = np.where(np.isinf(gap), 0.0, np.maximum(most, 0.0))
    count = np.concatenate(([0.0], np.cumsum(1.0 + carried)))
    total = np.concatenate(([0.0], np.cumsum(beats.hr_bpm * (1.0 + carried))))
    last = np.searchsorted(beats.time_s, time_s, side="right") - 1
    at = np.maximum(last, 0)
    ahead = np.minimum(np.floor((time_s - beats.time_s[at]) / CARRIED_STEP_S), carried[at])
    until = count[at] + 1.0 + ahead, total[at] + beats.hr_bpm[at] * (1.0 + ahead)
    return np.where(last < 0, 0.0, until[0]), np.where(last < 0, 0.0, until[1])


def _check_count(layouts: list[MessageLayout]) -> None:
    count = 0
    for layout in layouts:
        most = max((field.size for field in layout.fields if field.number == _BPM), default=0)
        count += most * len(layout.starts)
    if count > MOST_RECORDS:
        raise too_many(BEATS, MOST_RECORDS)


def _events(buffer: NDArray[np.uint8], layout: MessageLayout) -> _Events | None:
    """Every beat of the messages of one layout; None where they hold none."""
    fields = {field.number: field for field in layout.fields}
    if _BPM not in fields or not {_EVENT, _EVENT_12} & set(fields):
        return None
    bpm = _numbers(buffer, layout, fields[_BPM], "u1")
    clock = _numbers(buffer, layout, fields[_EVENT], "u4") if _EVENT in fields else bpm[:, :0]
    low = _low_bits(buffer, layout, fields[_EVENT_12]) if _EVENT_12 in fields else bpm[:, :0]
    raw = np.concatenate((clock, low), axis=1)
    each = min(raw.shape[1], bpm.shape[1])
    if not each:
        return None
    whole = np.broadcast_to(np.arange(each) < clock.shape[1], (len(raw), each))
    anchor_s = np.full((len(raw), each), np.nan)
    anchor_s[:, 0] = _said_s(buffer, layout, fields)
    anchor_s[~whole | (raw[:, :each] == _ABSENT)] = np.nan
    # A message has at most 255 bytes a field, so places within one never meet those of the next.
    order = layout.start_indices[:, None] * 256 + np.arange(each)
    there = raw[:, :each] != _ABSENT
    bpm = np.where(np.isin(bpm, _NO_BPM), _ABSENT, bpm)[:, :each]
    return _Events(order[there], raw[:, :each][there], whole[there], bpm[there], anchor_s[there])


def _said_s(buffer: NDArray[np.uint8], layout: MessageLayout, fields: Mapping[int, StoredField]) -> Floats:
    """The time each message says, NaN where it says none."""
    times_s = np.full(len(layout.starts), np.nan)
    if TIMESTAMP in fields and fields[TIMESTAMP].code == "u4":
        raw = _numbers(buffer, layout, fields[TIMESTAMP], "u4")[:, 0]
        times_s = np.where(raw == _ABSENT, np.nan, raw.astype(float))
    for number, code, scale in ((_FRACTION, "u2", FRACTION_HZ), (_TIME256, "u1", TIME256_HZ)):
        if number in fields and fields[number].code == code:
            part = _numbers(buffer, layout, fields[number], code)[:, 0]
            return times_s + np.where(part == _ABSENT, 0.0, part / scale)
    return times_s


def _numbers(buffer: NDArray[np.uint8], layout: MessageLayout, field: StoredField, code: str) -> Whole:
    """A list of numbers of every message, (messages, numbers), -1 where absent; none of another type."""
    kind, _letter, none = NUMBERS.get(field.base_type, ("", "", None))
    size = int(code[1:])
    if kind != code or field.size % size:
        return np.zeros((len(layout.starts), 0), dtype=np.int64)
    parts = [stored_numbers(buffer, layout, field.offset + at, code) for at in range(0, field.size, size)]
    raw = np.array(parts, dtype=np.int64).reshape(len(parts), -1).T
    return np.where(raw == none, _ABSENT, raw)


def _low_bits(buffer: NDArray[np.uint8], layout: MessageLayout, field: StoredField) -> Whole:
    """Twelve bits for each beat, the first in the lowest; none where all bytes say "none"."""
    if field.base_type != BYTES or field.size < 2:
        return np.zeros((len(layout.starts), 0), dtype=np.int64)
    each = [stored_numbers(buffer, layout, field.offset + at, "u1") for at in range(field.size)]
    stored = np.array(each, dtype=np.int64)
    bits = 12 * np.arange(8 * field.size // 12)
    first = bits // 8
    low = ((stored[first] | stored[first + 1] << 8) >> (bits % 8)[:, None]) & _LOW_BITS
    low[:, np.all(stored == 0xFF, axis=0)] = _ABSENT
    return low.T
