"""One recorded activity as a reader hands it over."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum

from slopebeat.model.keys import KeyEnum
from slopebeat.model.message import Message
from slopebeat.model.samples import SampleTable
from slopebeat.model.spans import Spans


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
    said : the file's own words on what was done, ``sport/sub_sport`` in small letters.
    """

    samples: SampleTable
    start_utc: datetime
    sport: Sport = Sport.UNKNOWN
    utc_offset_s: float | None = None
    device: str = ""
    pauses: Spans = field(default_factory=Spans.empty)
    laps: tuple[Lap, ...] = ()
    totals: DeviceTotals = DeviceTotals()
    warnings: tuple[Message, ...] = ()
    damage: tuple[Message, ...] = ()
    title: str = ""
    file_name: str = ""
    said: str = ""

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
