"""Conversion and wording of quantities, for display only; everything inside is SI."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import date

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import MISSING as MISSING

KMH_PER_MPS = 3.6
SECONDS_PER_HOUR = 3600.0


def known(value: float | None) -> bool:
    """Whether there is a finite number to show."""
    return value is not None and math.isfinite(value)


def finite(value: float | None) -> float | None:
    """A plain number, None in the place of one that is not finite."""
    return float(value) if value is not None and math.isfinite(value) else None


def clock(seconds: float | None) -> str:
    """Elapsed time as ``h:mm:ss``, rounded to the second: 4:05 min is ``0:04:05``."""
    if seconds is None or not math.isfinite(seconds):
        return MISSING
    whole = round(abs(seconds))
    sign = "-" if seconds < 0 and whole else ""
    return f"{sign}{whole // 3600}:{whole % 3600 // 60:02d}:{whole % 60:02d}"


def minutes_seconds(seconds: float | None) -> str:
    """``m:ss``, or ``h:mm:ss`` from an hour on."""
    if seconds is None or not math.isfinite(seconds):
        return MISSING
    whole = round(abs(seconds))
    return clock(seconds) if whole >= 3600 else f"{whole // 60}:{whole % 60:02d}"


def hours_minutes(seconds: float) -> str:
    """``h:min``, as a watch shows it."""
    minutes = round(seconds / 60.0)
    return f"{minutes // 60}:{minutes % 60:02d}"


def duration(seconds: float | None) -> str:
    """A duration in words for sentences: ``48 s``, ``12 min``, ``2 h 40 min``."""
    if seconds is None or not math.isfinite(seconds):
        return MISSING
    if abs(seconds) < 60:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if abs(minutes) < 60:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h" if rest == 0 else f"{hours} h {rest} min"


def rest_s(whole_s: float, part_s: float) -> float:
    """What a part leaves of a whole, so that all three add up in the minutes they are said in.

    Rounded each by itself, 29.5 of 45 minutes would be 30 with 16 missing. Under a minute it is exact.
    """
    rest = whole_s - part_s
    if min(rest, part_s) < 60.0:
        return rest
    return 60.0 * max(round(whole_s / 60.0) - round(part_s / 60.0), 1)


def percent(share: float | None) -> str:
    """A share as a percentage: 0.283 is ``28 %``."""
    return MISSING if share is None or not math.isfinite(share) else f"{100.0 * share:.0f} %"


def whole_minutes(seconds: Sequence[float]) -> list[int]:
    """Whole minutes that add up to the whole minutes of the sum.

    The largest remainders are rounded up, so every figure is within a minute of the exact one.
    """
    exact = [value / 60 for value in seconds]
    whole = [math.floor(value) for value in exact]
    missing = round(sum(exact)) - sum(whole)
    by_remainder = sorted(range(len(exact)), key=lambda i: exact[i] - whole[i], reverse=True)
    for index in by_remainder[:missing]:
        whole[index] += 1
    return whole


_DAYS = (
    re.compile(r"(?P<y>\d{4})-(?P<m>\d{1,2})-(?P<d>\d{1,2})"),
    re.compile(r"(?P<y>\d{4})(?P<m>\d{2})(?P<d>\d{2})"),
    re.compile(r"(?P<d>\d{1,2})\.\s?(?P<m>\d{1,2})\.\s?(?P<y>\d{4})"),
)
"""As in ISO 8601, with or without its signs and zeros, or day, month and year with points."""

YEARS_TYPED = (1900, 2100)
"""A year outside of these is a slip of the finger [project choice]."""


def day_typed(text: str) -> date:
    """A day as a person types it: ``2026-03-29``, ``20260329`` or ``29.3.2026``; the year is never guessed.

    Raises
    ------
    UserError
        With a sentence, when it is no day of the calendar.
    """
    found = next(filter(None, (form.fullmatch(text.strip()) for form in _DAYS)), None)
    try:
        if found is None or not YEARS_TYPED[0] <= int(found["y"]) <= YEARS_TYPED[1]:
            raise ValueError(text)
        return date(int(found["y"]), int(found["m"]), int(found["d"]))
    except ValueError:
        refusal = tr("A day is written as year, month and day, like 2026-03-29; {text} is not.")
        raise UserError(refusal.format(text=repr(text))) from None
