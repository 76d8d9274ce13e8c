"""Collect track points of XML formats into columns while their document is read."""

from __future__ import annotations

import math
from array import array
from xml.etree.ElementTree import Element

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.assembly import Assembled, assemble
from slopebeat.files.limits import MOST_RECORDS, too_many
from slopebeat.files.xml.head import plain_name
from slopebeat.files.xml.times import parse_time
from slopebeat.model.samples import COLUMNS

_TIME = "time"

POINT_NAMES: dict[str, str] = {
    "time": _TIME,
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
"""Plain names of elements in a track point, and the column each fills; time is none of a recording's."""

_VALUE_NAME = "value"  # in which TCX wraps a heart rate

POSITIONS = {"lat": "lat_deg", "lon": "lon_deg"}
"""Attributes of a point in GPX, and the column each fills."""


def finite_number(text: str | None) -> float:
    """A number written in XML; NaN when it is none or not finite."""
    try:
        value = float(text) if text else math.nan
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


class PointColumns:
    """Points of one recording, growing as they are read.

    Attributes
    ----------
    utc_offset_s : local time minus UTC where a point says it.
    """

    def __init__(self) -> None:
        self.utc_offset_s: float | None = None
        self._count = 0
        # Of each column only what is there, and the row it belongs to: most points leave most of them out.
        self._rows = {name: array("I") for name in (_TIME, *COLUMNS)}
        self._values = {name: array("d") for name in (_TIME, *COLUMNS)}

    def __len__(self) -> int:
        return self._count

    def add(self, points: list[Element]) -> None:
        """Take every value of some points; of several for one column the first number counts."""
        if self._count + len(points) > MOST_RECORDS:
            raise too_many("many.track_points", MOST_RECORDS)
        for row, point in enumerate(points, start=self._count):
            for name, column in POSITIONS.items():
                if text := point.get(name):
                    self._take(row, column, text)
            for element in point.iter():
                if (found := POINT_NAMES.get(plain_name(element.tag))) and (text := _text(element)):
                    self._take(row, found, text)
        self._count += len(points)

    def _take(self, row: int, column: str, text: str) -> None:
        value = self._time(text) if column == _TIME else finite_number(text)
        rows = self._rows[column]
        if math.isfinite(value) and not (rows and rows[-1] == row):
            rows.append(row)
            self._values[column].append(value)

    def _time(self, text: str) -> float:
        time = parse_time(text)
        if time is None:
            return math.nan
        if self.utc_offset_s is None:
            offset = time.utcoffset()
            # "Z" says nothing about the place, so only a written offset counts as local time.
            self.utc_offset_s = offset.total_seconds() if offset else None
        return time.timestamp()

    @property
    def unix_s(self) -> NDArray[np.float64]:
        """Time of each point, seconds since 1970-01-01 UTC, NaN where it has none."""
        return self.column(_TIME)

    @property
    def timed_count(self) -> int:
        return len(self._rows[_TIME])

    def columns(self) -> dict[str, NDArray[np.float64]]:
        """Every column some point fills, by its name, a value a point, NaN where absent."""
        return {name: self.column(name) for name in COLUMNS if self._rows[name]}

    def column(self, name: str) -> NDArray[np.float64]:
        """One column, a value a point, NaN where absent."""
        column = np.full(self._count, np.nan)
        column[np.array(self._rows[name])] = self._values[name]
        return column

    def assembled(self) -> Assembled:
        return assemble(self.unix_s, self.columns())


def _text(element: Element) -> str | None:
    """What is written in an element, or in the value inside it."""
    text = element.text
    if text is None or text.isspace():
        return next((child.text for child in element if plain_name(child.tag) == _VALUE_NAME), None)
    return text
