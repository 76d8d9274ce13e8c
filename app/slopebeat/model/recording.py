"""One recorded activity as a reader hands it over: what is known of it, what it is called, and when it was.

A file is known by its content, whatever its name and wherever it lies; an outing's time is given by the clock
where it happened.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, timezone
from enum import StrEnum
from pathlib import PurePath
from typing import TYPE_CHECKING

from slopebeat.model.message import KeyEnum, Message

if TYPE_CHECKING:
    from slopebeat.model.samples import SampleTable
    from slopebeat.model.spans import Spans


def content_hash(data: bytes) -> str:
    """SHA-256 of the bytes as they are in the file, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


class Sport(StrEnum):
    """What the file says was done; the value is the key used in files written."""

    WALKING = "walking"
    HIKING = "hiking"
    RUNNING = "running"
    CYCLING = "cycling"
    MOUNTAIN_BIKING = "mountain biking"
    OTHER = "other"
    """A named sport that is neither on foot nor on a bike."""
    UNKNOWN = "unknown"
    """The file does not say."""

    @property
    def on_bike(self) -> bool:
        return self in (Sport.CYCLING, Sport.MOUNTAIN_BIKING)


class Ground(KeyEnum):
    """What a band or a comparison is for: hearts answer differently on foot and on a bike."""

    FOOT = "foot"
    BIKE = "bike"


@dataclass(frozen=True)
class Lap:
    """One lap as the device marked it, in seconds from the first record."""

    start_s: float
    end_s: float


@dataclass(frozen=True)
class DeviceTotals:
    """What the device itself summed up; None where the file does not say. For comparison only."""

    timer_s: float | None = None
    distance_m: float | None = None
    ascent_m: float | None = None
    descent_m: float | None = None


def _no_pauses() -> Spans:
    from slopebeat.model.spans import Spans  # Arrays are loaded with the first recording.

    return Spans.empty()


@dataclass(frozen=True)
class Recording:
    """A recorded activity.

    Attributes
    ----------
    samples : table with the columns of :data:`slopebeat.model.samples.COLUMNS`; ``t_s`` counts seconds
        from the first record and rises strictly; absent values are NaN.
    start_utc : time of the first record, aware, in UTC.
    utc_offset_s : local time minus UTC where the file has it.
    pauses : timer off, in seconds from the first record.
    warnings : one per thing found wrong in the file.
    damage : those of them that say that part of the file was lost.
    title : the name the file gives the activity, or the file's own name.
    sport_text : the file's own words on what was done, ``sport/sub_sport`` in small letters.
    """

    samples: SampleTable
    start_utc: datetime
    sport: Sport = Sport.UNKNOWN
    utc_offset_s: float | None = None
    device: str = ""
    pauses: Spans = field(default_factory=_no_pauses)
    laps: tuple[Lap, ...] = ()
    totals: DeviceTotals = DeviceTotals()
    warnings: tuple[Message, ...] = ()
    damage: tuple[Message, ...] = ()
    title: str = ""
    file_name: str = ""
    sport_text: str = ""

    @property
    def start_text(self) -> str:
        """Start in the outing's own local time where the file has it, else in UTC and saying so."""
        if self.utc_offset_s is None:
            return f"{self.start_utc:%Y-%m-%d %H:%M} UTC"
        return f"{self.start_utc + timedelta(seconds=self.utc_offset_s):%Y-%m-%d %H:%M}"

    @property
    def span_s(self) -> float:
        """Seconds from the first record to the last."""
        return float(self.samples["t_s"][-1]) if len(self.samples) else 0.0


def utc_text(utc_offset_s: float) -> str:
    """An offset as ISO 8601 writes it: ``UTC+05:45``."""
    minutes = round(abs(utc_offset_s) / 60.0)
    sign = "−" if utc_offset_s < 0 and minutes else "+"
    return f"UTC{sign}{minutes // 60:02d}:{minutes % 60:02d}"


def local_start(start_utc: datetime, utc_offset_s: float | None) -> datetime:
    """The aware start by the clock where it was, or this computer's where its file knows no local time."""
    if utc_offset_s is None:
        return start_utc.astimezone()
    return start_utc.astimezone(timezone(timedelta(seconds=utc_offset_s)))


def local_day(start_utc: datetime, utc_offset_s: float | None) -> date:
    """The day of that start."""
    return local_start(start_utc, utc_offset_s).date()


LONGEST_TITLE = 200
"""Longest title taken when one is typed, in characters [project choice]."""


def shown_title(title: str, file_name: str) -> str:
    """The name the file gives the outing; a file's own name is written as words."""
    name = title or file_name
    if not file_name.startswith(name) or " " in name:
        return name
    stem = name if name != file_name else PurePath(name).stem
    words = stem.replace("_", " ").strip()
    return words[:1].upper() + words[1:] if words != stem else stem


def title_of(recording: Recording) -> str:
    """The title of a recording as it is shown."""
    return shown_title(recording.title, recording.file_name)


def typed_title(text: str) -> str:
    """What was typed or pasted as one line that can be kept; empty where nothing is left of it."""
    kept = text.encode("utf-8", "replace").decode("utf-8")
    words = "".join(char if char.isprintable() else " " for char in kept)
    return " ".join(words.split())[:LONGEST_TITLE].rstrip()
