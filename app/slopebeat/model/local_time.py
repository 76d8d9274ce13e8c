"""When an outing was, by the clock where it happened."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone, tzinfo


def local_start(start_utc: datetime, utc_offset_s: float | None, home: tzinfo | None = None) -> datetime:
    """The aware start by the clock where it was when its file knows the local time, else by that at ``home``.

    ``home`` None is the time zone of this computer.
    """
    if utc_offset_s is None:
        return start_utc.astimezone(home)
    return start_utc.astimezone(timezone(timedelta(seconds=utc_offset_s)))


def local_day(start_utc: datetime, utc_offset_s: float | None, home: tzinfo | None = None) -> date:
    """The day of that start."""
    return local_start(start_utc, utc_offset_s, home).date()
