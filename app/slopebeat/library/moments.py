"""Times as a library keeps them: whole microseconds since 1970, exact and in order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

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
