"""The night in words, on charts and in reports."""

from __future__ import annotations

from datetime import timedelta

from slopebeat.model.language import tr
from slopebeat.model.recording import Recording


def night_words(recording: Recording, start_s: float, end_s: float) -> str:
    """The night, with the time by the clock where the time zone is known."""
    if recording.utc_offset_s is None:
        return tr("night")
    start = recording.start_utc + timedelta(seconds=recording.utc_offset_s)
    first, last = (f"{start + timedelta(seconds=each):%H:%M}" for each in (start_s, end_s))
    return tr("night, {first} to {last}").format(first=first, last=last)
