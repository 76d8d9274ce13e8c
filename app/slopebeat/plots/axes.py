"""Chart axes: time as h:mm:ss, distance in kilometres."""

from __future__ import annotations

import math

import pyqtgraph as pg

from slopebeat.model.units import clock
from slopebeat.session.display import number

STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200)
"""Distances between labels that read well on a clock."""

ROOM_FOR_LABEL_PX = 90
"""Least room from one label to the next [project choice]."""

LEFT_AXIS_PX = 46
"""One width for all panels, or their x would not line up."""


class RunAxis(pg.AxisItem):
    """Bottom axis in seconds shown as ``h:mm:ss``, or in metres shown as kilometres."""

    def __init__(self) -> None:
        super().__init__("bottom")
        self.along_distance = False
        self.enableAutoSIPrefix(False)

    def set_along_distance(self, along_distance: bool) -> None:
        self.along_distance = along_distance
        self.picture = None
        self.update()

    def tickSpacing(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, float]]:
        if self.along_distance:
            return [*super().tickSpacing(minVal, maxVal, size)][:1]
        wanted = (maxVal - minVal) * ROOM_FOR_LABEL_PX / max(size, 1)
        step = next((s for s in STEPS_S if s >= wanted), math.ceil(wanted / 86400) * 86400)
        return [(float(step), 0.0)]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        if not self.along_distance:
            return [clock(value) for value in values]
        digits = max(0, math.ceil(-math.log10(max(spacing, 1e-6) / 1000) - 1e-9))
        return [f"{number(value, digits, 0.001)} km" for value in values]


class ValueAxis(pg.AxisItem):
    """Numbers with a true minus sign."""

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        return [text.replace("-", "−") for text in super().tickStrings(values, scale, spacing)]


def left_axis() -> pg.AxisItem:
    """A value axis of the common width."""
    axis = ValueAxis("left", maxTickLength=0)
    axis.setWidth(LEFT_AXIS_PX)
    axis.enableAutoSIPrefix(False)
    return axis
