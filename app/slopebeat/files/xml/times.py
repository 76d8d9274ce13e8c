"""Times as XML formats write them: one by one in any way of ISO 8601, and many at once in the usual way."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

_UTC_FORM = np.frombuffer(b"0000-00-00T00:00:00Z", dtype=np.uint8)
_UTC_DIGITS = ord("0") == _UTC_FORM
_PARTS = (slice(0, 4), slice(5, 7), slice(8, 10), slice(11, 13), slice(14, 16), slice(17, 19))
"""Where year, month, day, hour, minute and second stand in that form."""

_EPOCH_MONTH = 12 * 1970
_LEAP_SECOND = re.compile(r"(.*\d\d:?\d\d:?)60(?!\d)(.*)", re.DOTALL)


def parse_time(text: str | None) -> datetime | None:
    """An ISO 8601 time; one without an offset means UTC. None when it is no time.

    A leap second is reported as the second after it, as Unix time counts it.
    """
    written = (text or "").strip()
    time = _parsed(written)
    if time is None and (found := _LEAP_SECOND.fullmatch(written)):
        before = _parsed(f"{found[1]}59{found[2]}")
        time = before + timedelta(seconds=1) if before is not None and _may_leap(before) else None
    return time


def _parsed(written: str) -> datetime | None:
    try:
        time = datetime.fromisoformat(written)
    except ValueError:
        return None
    return time if time.tzinfo else time.replace(tzinfo=UTC)


def _may_leap(last_second: datetime) -> bool:
    """Whether a leap second may follow: it is the last second of a month in UTC (ITU-R TF.460-6, 2.1)."""
    try:
        behind = last_second.astimezone(UTC) + timedelta(seconds=1)
    except OverflowError:
        return False
    return (behind.day, behind.hour, behind.minute, behind.second) == (1, 0, 0, 0)


def utc_times(texts: list[str]) -> NDArray[np.float64] | None:
    """Unix seconds of times that are all written ``2026-07-25T03:00:00Z``, NaN for what is no time.

    None when one is written in another way. Counted from the digits: NumPy's own reading of texts ends the
    process at an impossible time among many.
    """
    written = "".join(texts).encode()
    if set(map(len, texts)) != {_UTC_FORM.size} or len(written) != len(texts) * _UTC_FORM.size:
        return None
    chars = np.frombuffer(written, dtype=np.uint8).reshape(-1, _UTC_FORM.size)
    if (chars != _UTC_FORM)[:, ~_UTC_DIGITS].any() or (chars[:, _UTC_DIGITS] - ord("0") > 9).any():
        return None
    year, month, day, hour, minute, second = (_digits(chars[:, part]) for part in _PARTS)
    months = 12 * year + month - 1 - _EPOCH_MONTH
    first, behind = (_first_day(months + more) for more in (0, 1))
    days = first + day - 1
    possible = (year > 0) & (month >= 1) & (month <= 12) & (days >= first) & (days < behind)
    possible &= (hour < 24) & (minute < 60) & (second < 60)
    unix_s = (86_400 * days + 3600 * hour + 60 * minute + second).astype(float)
    for at in np.flatnonzero(~possible).tolist():
        time = parse_time(texts[at])
        unix_s[at] = np.nan if time is None else time.timestamp()
    return unix_s


def _digits(chars: NDArray[np.uint8]) -> NDArray[np.int64]:
    """The number some columns of digits make, one a row."""
    value = np.zeros(len(chars), dtype=np.int64)
    for column in (chars - ord("0")).T:
        value = 10 * value + column
    return value


def _first_day(months: NDArray[np.int64]) -> NDArray[np.int64]:
    """Days from 1970-01-01 to the first day of months counted from January 1970."""
    return months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
