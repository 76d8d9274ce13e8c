"""Collect track points of XML formats into columns while their document is read."""

from __future__ import annotations

import math
from array import array
from collections import defaultdict
from collections.abc import Sequence
from contextlib import suppress
from itertools import chain
from operator import attrgetter
from xml.etree.ElementTree import Element

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.assembly import Assembled, assemble
from slopebeat.files.limits import MOST_RECORDS, too_many
from slopebeat.files.xml.head import plain_name
from slopebeat.files.xml.times import parse_time, utc_times
from slopebeat.model.codec import Undecodable, decode
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
"""Plain names of elements in a track point, and the column each fills."""

_TIME_NAME = "time"
_VALUE_NAME = "value"  # in which TCX wraps a heart rate

POSITIONS = {"lat": "lat_deg", "lon": "lon_deg"}
"""Attributes of a point in GPX, and the column each fills."""

_TURN_EVERY_POINTS = 2048
_TAG, _TEXT = attrgetter("tag"), attrgetter("text")


def finite_number(text: str | None) -> float:
    """A number written in XML; NaN when it is none or not finite."""
    try:
        value = float(text) if text else math.nan
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


class _Texts:
    """What was written for one column in some points, and the row of each."""

    def __init__(self) -> None:
        self.rows = array("I")
        self.texts: list[str] = []

    def take(self, row: int, texts: Sequence[str | None]) -> None:
        """Take what was written in the points from ``row`` on, None where there is nothing."""
        if None in texts:
            there = [(row + i, text) for i, text in enumerate(texts) if text is not None]
            self.rows.extend(at for at, _ in there)
            self.texts += [text for _, text in there]
        else:
            self.rows.frombytes(np.arange(row, row + len(texts), dtype=np.uintc).tobytes())
            self.texts += texts  # type: ignore[arg-type]


class _Targets(dict[str, _Texts | None]):
    """Where the text of an element goes, by its full name; None for one that is not read."""

    def __init__(self, columns: defaultdict[str, _Texts]) -> None:
        self._columns = columns

    def __missing__(self, tag: str) -> _Texts | None:
        plain = plain_name(tag)
        column = _TIME_NAME if plain == _TIME_NAME else POINT_NAMES.get(plain)
        self[tag] = found = None if column is None else self._columns[column]
        return found


class _Pending:
    """What was written in points and is not yet turned into numbers.

    Nothing here refers back to it, so that its memory is free again as soon as it is dropped.
    """

    def __init__(self) -> None:
        self.columns: defaultdict[str, _Texts] = defaultdict(_Texts)
        self.targets = _Targets(self.columns)


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
        self._rows = {name: array("I") for name in (_TIME_NAME, *COLUMNS)}
        self._values = {name: array("d") for name in (_TIME_NAME, *COLUMNS)}
        self._pending = _Pending()
        self._pending_since = 0

    def __len__(self) -> int:
        return self._count

    def add(self, points: list[Element]) -> None:
        """Take every value of some points; of several for one column the first number counts.

        Written for speed: an outing has hundreds of thousands of elements, and each passes here.
        """
        if self._count + len(points) > MOST_RECORDS:
            raise too_many("many.track_points", MOST_RECORDS)
        for name, column in POSITIONS.items():
            self._pending.columns[column].take(self._count, [point.get(name) for point in points])
        first = list(map(_TAG, points[0].iter()))
        elements = list(chain.from_iterable(map(Element.iter, points)))
        if list(map(_TAG, elements)) == first * len(points):
            self._take_uniform(first, elements)
        else:
            for row, point in enumerate(points, start=self._count):
                for element in point.iter():
                    target = self._pending.targets[element.tag]
                    if target is not None:
                        target.take(row, [_text(element)])
        self._count += len(points)
        if self._count - self._pending_since >= _TURN_EVERY_POINTS:
            self._turn_pending()

    def _take_uniform(self, tags: list[str], elements: list[Element]) -> None:
        """Take the values of points that all hold the same elements, a column at a time."""
        for place, tag in enumerate(tags):
            target = self._pending.targets[tag]
            if target is None:
                continue
            column = elements[place :: len(tags)]
            texts: list[str | None] = list(map(_TEXT, column))
            if None in texts or any(map(str.isspace, texts)):  # type: ignore[arg-type]
                texts = list(map(_text, column))
            target.take(self._count, texts)

    def _turn_pending(self) -> None:
        """Turn what was written into numbers, many at once."""
        for column, texts in self._pending.columns.items():
            self._keep(column, np.array(texts.rows), texts.texts)
        self._pending, self._pending_since = _Pending(), self._count

    def _keep(self, column: str, rows: NDArray[np.uintc], texts: list[str]) -> None:
        values = self._times(texts) if column == _TIME_NAME else _numbers(texts)
        good = np.isfinite(values)
        if not good.all():
            rows, values = rows[good], values[good]
        if not (rows[1:] > rows[:-1]).all():
            # Points taken a column at a time are out of order where two elements fill one column.
            order = np.argsort(rows, kind="stable")
            rows, values = rows[order], values[order]
            first = np.append(True, rows[1:] != rows[:-1])
            rows, values = rows[first], values[first]
        self._rows[column].frombytes(rows.tobytes())
        self._values[column].frombytes(values.tobytes())

    def _times(self, texts: list[str]) -> NDArray[np.float64]:
        """Times in Unix seconds, NaN for what is none; most files write all of them in one way."""
        found = utc_times(texts)
        if found is not None:
            return found
        return np.array([self._time(text) for text in texts], dtype=float)

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
        self._turn_pending()
        return self._spread(_TIME_NAME)

    @property
    def timed_count(self) -> int:
        self._turn_pending()
        return len(self._rows[_TIME_NAME])

    def columns(self) -> dict[str, NDArray[np.float64]]:
        """Every column some point fills, by its name, a value a point, NaN where absent."""
        self._turn_pending()
        return {name: self._spread(name) for name in COLUMNS if self._rows[name]}

    def assembled(self) -> Assembled:
        return assemble(self.unix_s, self.columns())

    def _spread(self, name: str) -> NDArray[np.float64]:
        column = np.full(self._count, np.nan)
        column[np.array(self._rows[name])] = self._values[name]
        return column


def _numbers(texts: list[str]) -> NDArray[np.float64]:
    """The numbers some texts are; NaN for what is none."""
    with suppress(Undecodable):
        # Nearly all numbers are written as JSON has them, and are read there in a third of the time.
        numbers = decode(f"[{','.join(texts)}]", list[float])
        if len(numbers) == len(texts):
            return np.array(numbers)
    try:
        return np.fromiter(map(float, texts), dtype=float, count=len(texts))
    except ValueError:
        return np.array([finite_number(text) for text in texts], dtype=float)


def _text(element: Element) -> str | None:
    """What is written in an element, or in the value inside it."""
    text = element.text
    if text is None or text.isspace():
        return next((child.text for child in element if plain_name(child.tag) == _VALUE_NAME), None)
    return text
