"""Times as a library keeps them: whole microseconds since 1970, exact and in order."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone, tzinfo

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


def to_us(moment: datetime) -> int:
    """Microseconds since 1970-01-01T00:00Z of an aware time."""
    if moment.tzinfo is None:
        raise ValueError("a library keeps aware times only")
    return (moment - _EPOCH) // _MICROSECOND


def from_us(microseconds: int) -> datetime:
    """The aware UTC time back."""
    return _EPOCH + microseconds * _MICROSECOND


def now() -> datetime:
    return datetime.now(UTC)


def local_day(start_utc: datetime, utc_offset_s: float | None, home: tzinfo | None = None) -> date:
    """Day of an outing where it happened when its file knows the local time, else the day at ``home``.

    ``home`` None is the time zone of this computer.
    """
    if utc_offset_s is not None:
        return start_utc.astimezone(timezone(timedelta(seconds=utc_offset_s))).date()
    return start_utc.astimezone(home).date()
