"""Quantities as the user reads them: metric or imperial, with the decimal sign of the place.

Everything inside is SI; a :class:`Measure` turns SI into what is shown and what is typed back into SI.
Files, JSON and CSV never pass through here: they stay metric with a point.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

MISSING = "–"
"""Shown where a quantity is unknown."""

FOOT_M = 0.3048
MILE_M = 1609.344
POUND_KG = 0.45359237
"""Exact by the international yard and pound agreement of 1959 (NIST Special Publication 811, appendix B)."""


class System(StrEnum):
    """Which units are shown."""

    METRIC = "metric"
    IMPERIAL = "imperial"


_shown: dict[str, str] = {"system": System.METRIC, "decimal": ".", "pace": ""}


def use_system(system: System) -> None:
    """Show these units from now on."""
    _shown["system"] = system


def system() -> System:
    """The units in force."""
    return System(_shown["system"])


def use_pace(wanted: bool) -> None:
    """Show how fast the outing on screen went as time per kilometre or mile from now on, or as speed."""
    _shown["pace"] = "pace" if wanted else ""


def pace_in_force() -> bool:
    return bool(_shown["pace"])


def use_decimal_sign(sign: str) -> None:
    """Write decimals with a point or a comma.

    Raises
    ------
    ValueError
        For any other sign.
    """
    if sign not in (".", ","):
        raise ValueError(f"{sign!r} is no decimal sign")
    _shown["decimal"] = sign


def decimal_sign() -> str:
    return _shown["decimal"]


def figure(value: float | None, digits: int = 0) -> str:
    """A number with a true minus sign and the decimal sign in force; a dash when it is not known."""
    if value is None or not math.isfinite(value):
        return MISSING
    text = f"{value:.{digits}f}"
    text = text.lstrip("-") if float(text) == 0 else text.replace("-", "−")
    return text.replace(".", _shown["decimal"])


def shortest_number(value: float) -> str:
    """A number as short as it goes, with the decimal sign in force: 5 as ``5``, 2.5 as ``2.5``."""
    return f"{value:g}".replace(".", _shown["decimal"])


def counted(count: int) -> str:
    """A whole number with its thousands set apart: by commas, or by points where decimals have a comma."""
    text = f"{count:,}"
    return text if _shown["decimal"] == "." else text.replace(",", ".")


@dataclass(frozen=True)
class Scale:
    """One unit: ``shown = si * factor + offset``, rounded to ``step`` where that is not 0."""

    unit: str
    factor: float
    digits: int
    offset: float = 0.0
    step: float = 0.0


@dataclass(frozen=True)
class Measure:
    """A kind of quantity with its two scales."""

    metric: Scale
    imperial: Scale

    @property
    def scale(self) -> Scale:
        return self.metric if _shown["system"] == System.METRIC else self.imperial

    @property
    def unit(self) -> str:
        """The sign of the unit in force."""
        return self.scale.unit

    def shown(self, si: float) -> float:
        """The number in the unit in force, from SI."""
        return si * self.scale.factor + self.scale.offset

    def si(self, shown: float) -> float:
        """SI from a number in the unit in force."""
        return (shown - self.scale.offset) / self.scale.factor

    def figure(self, si: float | None, digits: int | None = None) -> str:
        """The number without its unit."""
        if si is None or not math.isfinite(si):
            return MISSING
        value, scale = self.shown(si), self.scale
        if scale.step:
            value = round(value / scale.step) * scale.step
        return figure(value, scale.digits if digits is None else digits)

    def text(self, si: float | None, digits: int | None = None) -> str:
        """The number with its unit: ``310 m/h``; a dash alone when it is not known."""
        figure_text = self.figure(si, digits)
        return figure_text if figure_text == MISSING else f"{figure_text} {self.unit}"


_HOUR_S = 3600.0

HEIGHT = Measure(Scale("m", 1.0, 0), Scale("ft", 1 / FOOT_M, 0))
"""Elevation, gain and other heights, from m."""

GROUND = Measure(Scale("km", 0.001, 2), Scale("mi", 1 / MILE_M, 2))
"""Distance along the ground, from m."""

SPEED = Measure(Scale("km/h", 3.6, 1), Scale("mph", _HOUR_S / MILE_M, 1))
"""From m/s."""

SLOWEST_PACE_S = 3600.0
"""An hour for a kilometre or a mile; slower is standing, and a pace of it says nothing [project choice]."""


class OwnSpeed(Measure):
    """How fast somebody went, from m/s: as pace, minutes and seconds per kilometre or mile, where that is in
    force, else as speed."""

    @property
    def unit(self) -> str:
        return f"min/{GROUND.unit}" if pace_in_force() else self.scale.unit

    def figure(self, si: float | None, digits: int | None = None) -> str:
        if not pace_in_force():
            return super().figure(si, digits)
        if si is None or not math.isfinite(si) or si <= 0.0:
            return MISSING
        seconds = round(GROUND.si(1.0) / si)
        return MISSING if seconds > SLOWEST_PACE_S else f"{seconds // 60}:{seconds % 60:02d}"


OWN_SPEED = OwnSpeed(SPEED.metric, SPEED.imperial)
"""From m/s, for what was gone on the outing on screen."""

VERTICAL_SPEED = Measure(Scale("m/h", _HOUR_S, 0, step=10.0), Scale("ft/h", _HOUR_S / FOOT_M, 0, step=50.0))
"""Vertical speed, from m/s; to ten metres or fifty feet, because finer would be noise."""

MASS = Measure(Scale("kg", 1.0, 1), Scale("lb", 1 / POUND_KG, 0))
"""From kg."""

TEMPERATURE = Measure(Scale("°C", 1.0, 0), Scale("°F", 1.8, 0, offset=32.0))
"""From degrees Celsius."""
