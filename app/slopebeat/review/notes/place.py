"""The place of a note as it is typed: the whole outing, a moment, or a stretch."""

from __future__ import annotations

import re

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Place as Place
from slopebeat.model.notes import place_text as place_text
from slopebeat.model.units import clock

WHOLE: Place = (None, None)

_TIME = re.compile(r"(?:(\d{1,4}):)?(\d{1,2}):(\d{2})|(\d{1,5})(?:\s*min)?")
_TO = re.compile(r"\s*(?:-|–|—|−)\s*")


def place_from_text(text: str, full_s: float) -> Place:
    """The place that was typed, within an outing of ``full_s`` seconds; :func:`place_text` goes back.

    A time is ``h:mm:ss``, ``m:ss`` or whole minutes.

    Raises
    ------
    UserError
        With a sentence, when it is no place or lies outside the outing.
    """
    words = text.strip()
    if not words or words.casefold() == tr("whole outing").casefold():
        return WHOLE
    times = [_seconds(part) for part in _TO.split(words)]
    if len(times) > 2:
        raise UserError(tr("Give one time, or two with a dash between them, such as 0:40:00-1:02:30."))
    start, end = times[0], times[1] if len(times) == 2 else None
    if max(times) > full_s + 1.0:
        raise UserError(
            tr("The outing ends at {end}; {place} lies after it.").format(end=clock(full_s), place=words)
        )
    if end is not None and end <= start:
        raise UserError(tr("The end of a range comes after its start."))
    return min(start, full_s), None if end is None else min(end, full_s)


def _seconds(text: str) -> float:
    found = _TIME.fullmatch(text.strip())
    if found is None:
        raise UserError(
            tr("{text} is no time; write 0:42:10, 42:10, or 42 for minutes.").format(text=text.strip() or "–")
        )
    hours, minutes, seconds, whole = found.groups()
    if whole is not None:
        return 60.0 * int(whole)
    if int(seconds) > 59 or (hours is not None and int(minutes) > 59):
        raise UserError(tr("{text} is no time; minutes and seconds end at 59.").format(text=text.strip()))
    return 3600.0 * int(hours or 0) + 60.0 * int(minutes) + int(seconds)
