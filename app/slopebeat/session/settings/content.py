"""What the settings file holds, field by field with the limits of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta

from slopebeat.model.codec import Undecodable, convert, parse, repaired
from slopebeat.model.notes import Author
from slopebeat.model.people import (
    DEFAULT_BIKE_MASS_KG,
    DEFAULT_BODY_MASS_KG,
    DEFAULT_DRIFT_THRESHOLD_PERCENT,
    DEFAULT_TARGET_S,
    Aim,
)
from slopebeat.session.outing.aim import BandChoice, Entered
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.settings.preferences import Preferences

BODY_KG, LOAD_KG, BIKE_KG = (25.0, 250.0), (0.0, 80.0), (0.0, 60.0)
"""What can be entered [project choice]."""

TARGET_S, THRESHOLD_PERCENT = (60.0, 36_000.0), (0.5, 20.0)
Pixels = Annotated[int, Meta(ge=0, le=20_000)]

OLD_WORDS: Mapping[tuple[str, str], Mapping[str, str]] = {
    ("band", "method"): {
        "% of maximal heart rate": "HR_MAX",
        "% of heart-rate reserve": "RESERVE",
        "set by hand": "MANUAL",
        "lactate test": "LACTATE",
        "drift test": "DRIFT_TEST",
    },
    ("layout", "along"): {"time": "TIME", "distance": "DISTANCE"},
    ("layout", "rate"): {"speed": "SPEED", "vertical speed": "VERTICAL", "residual": "RESIDUAL"},
}
"""Words that settings held before they held names; they never follow the screen."""


def _within(ends: tuple[float, float]) -> Meta:
    return Meta(ge=ends[0], le=ends[1])


@dataclass(frozen=True)
class Layout:
    """How the window was left: sizes in pixels, empty where nothing was ever moved."""

    window_px: tuple[Pixels, ...] = ()
    maximized: bool = False
    across_px: tuple[Pixels, ...] = ()
    shares_px: tuple[Pixels, ...] = ()
    tab: Annotated[int, Meta(ge=0, le=50)] = 0
    along: Along = Along.TIME
    rate: Rate = Rate.SPEED


@dataclass(frozen=True)
class Content:
    """All that is remembered between two runs; the aim without its band, and ``recent`` the files."""

    band: BandChoice = field(default_factory=BandChoice)
    target_s: Annotated[float, _within(TARGET_S)] = DEFAULT_TARGET_S
    body_mass_kg: Annotated[float, _within(BODY_KG)] = DEFAULT_BODY_MASS_KG
    load_kg: Annotated[float, _within(LOAD_KG)] = 0.0
    bike_mass_kg: Annotated[float, _within(BIKE_KG)] = DEFAULT_BIKE_MASS_KG
    drift_threshold_percent: Annotated[float, _within(THRESHOLD_PERCENT)] = DEFAULT_DRIFT_THRESHOLD_PERCENT
    recent: tuple[Path, ...] = ()
    author: Author = Author.ATHLETE
    preferences: Preferences = field(default_factory=Preferences)
    layout: Layout = Layout()

    @property
    def entered(self) -> Entered:
        return Entered(self.band, Aim(**{name: getattr(self, name) for name in _OF_AIM}))


_OF_AIM = ("target_s", "body_mass_kg", "load_kg", "bike_mass_kg", "drift_threshold_percent")


def of_entered(entered: Entered) -> dict[str, Any]:
    """The fields of the content that keep what was entered."""
    return {"band": entered.choice} | {name: getattr(entered.rest, name) for name in _OF_AIM}


def read_content(text: str, damaged: list[str]) -> Content:
    """The content of a settings file; what is damaged is as if never set, and ``damaged`` gets its names."""
    try:
        values = convert(parse(text), dict[str, Any])
    except Undecodable:
        damaged.append("all of it")
        return Content()
    for (outer, name), names in OLD_WORDS.items():
        holder = values.get(outer)
        if isinstance(holder, dict) and isinstance(holder.get(name), str):
            holder[name] = names.get(holder[name], holder[name])
    return repaired(values, Content(), damaged)
