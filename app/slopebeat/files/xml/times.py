"""Times as XML formats write them, in any way of ISO 8601."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

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
