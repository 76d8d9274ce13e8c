"""The frame of a chart: where values lie on the paper, as few points as show them, and the ticks beside."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.model.numerics import round_step
from slopebeat.model.units import hours_minutes
from slopebeat.plots.colours import LIGHT
from slopebeat.report.shapes import Anchor, Path, Rect, Shape, Text, size_for

Array = NDArray[np.float64]

TIME_STEPS_S = (60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0, 21600.0, 43200.0, 86400.0)
"""Steps of a time axis a person counts in."""

TIME_WORDS_SHARE = 0.24
"""Share of the width for the words under the time axis; what is left of them belongs to the key."""

TICK_SIZE = 6.5
"""Size of tick labels, points [project choice]."""


@dataclass(frozen=True)
class Frame:
    """A plot area in points with the ranges it shows: x in seconds, y in the unit of its channel."""

    left: float
    top: float
    width: float
    height: float
    x_range: tuple[float, float]
    y_range: tuple[float, float]

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def bottom(self) -> float:
        return self.top + self.height

    def x(self, value: ArrayLike) -> Array:
        low, high = self.x_range
        return self.left + (np.asarray(value, dtype=float) - low) / (high - low) * self.width

    def y(self, value: ArrayLike) -> Array:
        low, high = self.y_range
        return self.bottom - (np.asarray(value, dtype=float) - low) / (high - low) * self.height

    def box(self, fill: str | None = None, stroke: str | None = None) -> Rect:
        return Rect(self.left, self.top, self.width, self.height, fill, stroke)

    def span(self, start_s: float, end_s: float, fill: str | None) -> Rect:
        """A stretch of time over the whole height."""
        start, end = (float(self.x(min(max(t, self.x_range[0]), self.x_range[1]))) for t in (start_s, end_s))
        return Rect(start, self.top, end - start, self.height, fill)

    def level(self, y: float) -> Array:
        """A line over the whole width."""
        return np.array([[self.left, y], [self.right, y]])

    def upright(self, x: float) -> Array:
        """A line over the whole height."""
        return np.array([[x, self.top], [x, self.bottom]])


def ticks(low: float, high: float, step: float) -> list[float]:
    """Multiples of a step inside a range."""
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [step * i for i in range(first, last + 1)]


def value_axis(frame: Frame, title: str, most: int = 5) -> list[Shape]:
    """Grid lines, their numbers to the left, and the title above."""
    low, high = frame.y_range
    shapes: list[Shape] = []
    for value in ticks(low, high, round_step((high - low) / most)):
        y = float(frame.y(value))
        shapes.append(Path((frame.level(y),), stroke=LIGHT.grid, width=0.5))
        place = (frame.left - 4, y + TICK_SIZE * 0.35)
        shapes.append(Text(*place, figure(value), TICK_SIZE, LIGHT.muted, Anchor.END))
    shapes.append(Text(frame.left, frame.top - 4, title, 7.0, LIGHT.ink, bold=True))
    return shapes


def tick(frame: Frame, value: float, words: str) -> list[Shape]:
    """A mark under the frame with its words."""
    x = float(frame.x(value))
    mark = np.array([[x, frame.bottom], [x, frame.bottom + 2.5]])
    label = Text(x, frame.bottom + 10, words, TICK_SIZE, LIGHT.muted, Anchor.MIDDLE)
    return [Path((mark,), stroke=LIGHT.muted, width=0.5), label]


def time_axis(frame: Frame) -> list[Shape]:
    """Hours and minutes from the first record, under the frame."""
    low, high = frame.x_range
    most = max(2, int(frame.width / 45))
    step = next((s for s in TIME_STEPS_S if (high - low) / s <= most), 0.0)
    step = step or math.ceil((high - low) / most / 86400.0) * 86400.0
    shapes: list[Shape] = []
    for value in ticks(low, high, step):
        shapes += tick(frame, value, hours_minutes(value))
    words = tr("h:min from the first record")
    size = size_for(words, 6.0, TIME_WORDS_SHARE * frame.width)
    shapes.append(Text(frame.right, frame.bottom + 19, words, size, LIGHT.muted, Anchor.END))
    return shapes


def runs(x: Array, y: Array, column: float) -> tuple[Array, ...]:
    """The unbroken runs of a line, each (m, 2), with at most four points per column of the picture.

    Of each column the first, lowest, highest and last point of a run stay: between its columns the line
    drawn is the line through all points, and inside a column it covers the same height (Jugel 2014, M4,
    doi:10.14778/2732951.2732953).

    Parameters
    ----------
    x : (n,) places, not falling. y : (n,) values; a NaN breaks the line.
    column : width of a column in the units of x.
    """
    known = np.isfinite(x) & np.isfinite(y)
    index = np.flatnonzero(known)
    if index.size == 0:
        return ()
    run = np.cumsum(np.concatenate(([0], np.diff(index) > 1)))
    xs, ys = x[index], y[index]
    cell = np.floor(xs / column).astype(np.int64)
    new = np.concatenate(([True], (np.diff(cell) != 0) | (np.diff(run) != 0)))
    group = np.cumsum(new) - 1
    first = np.flatnonzero(new)
    last = np.append(first[1:], group.size) - 1
    by_height = np.lexsort((ys, group))
    keep = np.unique(np.concatenate((first, last, by_height[first], by_height[last])))
    points = np.column_stack((xs[keep], ys[keep]))
    cuts = np.flatnonzero(np.diff(run[keep])) + 1
    return tuple(np.split(points, cuts))
