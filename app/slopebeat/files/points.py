"""Collect track points of XML formats into columns."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import UTC, datetime
from xml.etree.ElementTree import Element

from slopebeat.files.assembly import Assembled, assemble
from slopebeat.model.samples import COLUMNS

POINT_NAMES: dict[str, str] = {
    "hr": "hr_bpm",
    "heartrate": "hr_bpm",
    "heartratebpm": "hr_bpm",
    "pulse": "hr_bpm",
    "ele": "elevation_m",
    "altitudemeters": "elevation_m",
    "distance": "distance_m",
    "distancemeters": "distance_m",
    "speed": "speed_mps",
    "latitudedegrees": "lat_deg",
    "longitudedegrees": "lon_deg",
    "cad": "cadence_rpm",
    "cadence": "cadence_rpm",
    "runcadence": "cadence_rpm",
    "power": "power_w",
    "watts": "power_w",
    "powerinwatts": "power_w",
    "atemp": "temperature_c",
    "temp": "temperature_c",
    "temperature": "temperature_c",
}
"""Names of elements in a track point, as :func:`plain_name` gives them, and the column each fills."""

_VALUE_NAME = "value"  # TCX wraps a heart rate in <Value>


def plain_name(tag: object) -> str:
    """An element's name without namespace, case, hyphens and underscores; "" for comments."""
    if not isinstance(tag, str):
        return ""
    return tag.rpartition("}")[2].lower().replace("_", "").replace("-", "")


def finite_number(text: str | None) -> float:
    """A number written in XML; NaN when it is none or not finite."""
    try:
        value = float(text) if text else math.nan
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


def parse_time(text: str | None) -> datetime | None:
    """An ISO 8601 time; one without an offset means UTC. None when it is no time."""
    try:
        time = datetime.fromisoformat((text or "").strip())
    except ValueError:
        return None
    return time if time.tzinfo else time.replace(tzinfo=UTC)


class PointColumns:
    """Points of one recording, growing as they are read."""

    def __init__(self) -> None:
        self.unix_s: list[float] = []
        self.utc_offset_s: float | None = None
        self._columns: dict[str, list[float]] = {name: [] for name in COLUMNS if name != "t_s"}

    def add(self, point: Element) -> None:
        """Take every value of a track point; of several with one name the first number counts."""
        values: dict[str, float] = {}
        time: datetime | None = None
        for element in point.iter():
            name = plain_name(element.tag)
            if name == "time" and time is None:
                time = parse_time(element.text)
                continue
            column = POINT_NAMES.get(name)
            if column is not None and column not in values:
                value = finite_number(_text(element))
                if not math.isnan(value):
                    values[column] = value
        for name, column in (("lat", "lat_deg"), ("lon", "lon_deg")):
            if name in point.attrib:
                values[column] = finite_number(point.attrib[name])
        for column, stored in self._columns.items():
            stored.append(values.get(column, math.nan))
        self._take_time(time)

    def _take_time(self, time: datetime | None) -> None:
        try:
            self.unix_s.append(time.timestamp() if time else math.nan)
        except OverflowError:  # an offset at the edge of the calendar
            self.unix_s.append(math.nan)
        offset = time.utcoffset() if time else None
        if self.utc_offset_s is None and offset:
            # "Z" says nothing about the place, so only a written offset counts as local time.
            self.utc_offset_s = offset.total_seconds()

    @property
    def timed_count(self) -> int:
        return sum(1 for value in self.unix_s if not math.isnan(value))

    def assembled(self) -> Assembled:
        return assemble(self.unix_s, self._columns)


def untimed_warning(tables: Iterable[Assembled]) -> tuple[str, ...]:
    """A sentence when points had to be left out for want of a time."""
    count = sum(table.untimed_count for table in tables)
    if not count:
        return ()
    points = "1 point" if count == 1 else f"{count:,} points"
    return (f"{points} without a time left out.",)


def _text(element: Element) -> str | None:
    if element.text and element.text.strip():
        return element.text
    return next((child.text for child in element if plain_name(child.tag) == _VALUE_NAME), None)
