"""Reading the settings field by field: what is damaged falls back to its default and is named."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Any, TypeVar

from slopebeat.model.athlete import Aim
from slopebeat.model.bands import BandMethod
from slopebeat.model.language import LANGUAGES
from slopebeat.model.notes import Author
from slopebeat.session.outing.aim import BandChoice, Entered
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.settings.preferences import BY_SYSTEM, TEXT_PERCENT, Look, Preferences, Units

BODY_KG, LOAD_KG, BIKE_KG = (25.0, 250.0), (0.0, 80.0), (0.0, 60.0)
"""What can be entered [project choice]."""

TARGET_S, THRESHOLD_PERCENT = (60.0, 36_000.0), (0.5, 20.0)
PLAUSIBLE_BPM = (20, 260)
MOST_PX = 20_000.0

OLD_METHODS = {
    "% of maximal heart rate": "HR_MAX",
    "% of heart-rate reserve": "RESERVE",
    "set by hand": "MANUAL",
    "lactate test": "LACTATE",
    "drift test": "DRIFT_TEST",
}
"""Words that settings held before they held names, as the next two; they never follow the screen."""

OLD_ALONG = {"time": "TIME", "distance": "DISTANCE"}
OLD_RATES = {"speed": "SPEED", "vertical speed": "VERTICAL", "residual": "RESIDUAL"}

T = TypeVar("T")
E = TypeVar("E", bound=Enum)


@dataclass(frozen=True)
class Layout:
    """How the window was left: sizes in pixels, empty where nothing was ever moved."""

    window_px: tuple[int, ...] = ()
    maximized: bool = False
    across_px: tuple[int, ...] = ()
    shares_px: tuple[int, ...] = ()
    tab: int = 0
    along: Along = Along.TIME
    rate: Rate = Rate.SPEED


class Reader:
    """Takes the text of a settings file; ``damaged`` names the fields that could not be used."""

    def __init__(self, text: str) -> None:
        self.damaged: list[str] = []
        try:
            content = json.loads(text)
        except (ValueError, RecursionError):
            content = None
        self._content: dict[str, Any] = content if isinstance(content, dict) else {}
        if not isinstance(content, dict):
            self.damaged.append("all of it")

    def entered(self) -> Entered:
        plain, fresh = BandChoice(), Aim()
        choice = BandChoice(
            method=self._take("band.method", _named(BandMethod, OLD_METHODS), plain.method),
            lower_bpm=self._take("band.lower_bpm", _bpm, None),
            upper_bpm=self._take("band.upper_bpm", _bpm, None),
            hr_max_bpm=self._take("band.hr_max_bpm", _bpm, None),
            hr_rest_bpm=self._take("band.hr_rest_bpm", _bpm, None),
            max_shares=self._take("band.max_shares", _shares, plain.max_shares),
            reserve_shares=self._take("band.reserve_shares", _shares, plain.reserve_shares),
        )
        rest = Aim(
            target_s=self._take("target_s", _within(TARGET_S), fresh.target_s),
            body_mass_kg=self._take("body_mass_kg", _within(BODY_KG), fresh.body_mass_kg),
            load_kg=self._take("load_kg", _within(LOAD_KG), fresh.load_kg),
            bike_mass_kg=self._take("bike_mass_kg", _within(BIKE_KG), fresh.bike_mass_kg),
            drift_threshold_percent=self._take(
                "drift_threshold_percent", _within(THRESHOLD_PERCENT), fresh.drift_threshold_percent
            ),
        )
        return Entered(choice, rest)

    def preferences(self) -> Preferences:
        plain = Preferences()
        return Preferences(
            units=self._take("preferences.units", Units, plain.units),
            language=self._take("preferences.language", _language, plain.language),
            look=self._take("preferences.look", Look, plain.look),
            text_percent=round(self._take("preferences.text_percent", _within(TEXT_PERCENT), 100.0)),
        )

    def author(self) -> Author:
        return self._take("author", _named(Author, {}), Author.ATHLETE)

    def layout(self) -> Layout:
        plain = Layout()
        return Layout(
            window_px=self._take("layout.window_px", _pixels, ()),
            maximized=self._take("layout.maximized", _flag, False),
            across_px=self._take("layout.across_px", _pixels, ()),
            shares_px=self._take("layout.shares_px", _pixels, ()),
            tab=round(self._take("layout.tab", _within((0.0, 50.0)), 0.0)),
            along=self._take("layout.along", _named(Along, OLD_ALONG), plain.along),
            rate=self._take("layout.rate", _named(Rate, OLD_RATES), plain.rate),
        )

    def recent(self, most: int) -> tuple[Path, ...]:
        nothing: tuple[Path, ...] = ()
        return self._take("recent", _paths, nothing)[:most]

    def _take(self, name: str, convert: Callable[[Any], T], default: T) -> T:
        """A field by its dotted name; settings of an earlier version may lack it."""
        holder: Any = self._content
        *outer, last = name.split(".")
        for part in outer:
            holder = holder.get(part, {})
            if not isinstance(holder, dict):
                self._blame(part)
                return default
        if last not in holder:
            return default
        try:
            return convert(holder[last])
        except (ValueError, TypeError, OverflowError):
            self._blame(name)
            return default

    def _blame(self, name: str) -> None:
        if name not in self.damaged:
            self.damaged.append(name)


def _within(ends: tuple[float, float]) -> Callable[[Any], float]:
    def convert(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise TypeError
        if not (math.isfinite(value) and ends[0] <= value <= ends[1]):
            raise ValueError
        return float(value)

    return convert


def _bpm(value: Any) -> int | None:
    return None if value is None else round(_within(PLAUSIBLE_BPM)(value))


def _shares(value: Any) -> tuple[float, float]:
    low, high = (_within((0.01, 1.0))(part) for part in value)
    return low, high


def _pixels(value: Any) -> tuple[int, ...]:
    return tuple(round(_within((0.0, MOST_PX))(part)) for part in value)


def _named(words: type[E], old: Mapping[str, str]) -> Callable[[Any], E]:
    """A member by its name, or by the words that stood for it once."""

    def convert(value: Any) -> E:
        name = old.get(value, value)
        if name not in words.__members__:
            raise ValueError(value)
        return words[name]

    return convert


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise TypeError
    return value


def _language(value: Any) -> str:
    if value not in (BY_SYSTEM, *LANGUAGES):
        raise ValueError
    return str(value)


def _paths(value: Any) -> tuple[Path, ...]:
    if not isinstance(value, list) or not all(isinstance(name, str) for name in value):
        raise TypeError
    return tuple(Path(name) for name in value)
