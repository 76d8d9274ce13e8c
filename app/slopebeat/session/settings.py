"""What is remembered between two runs: the entered aim, recent files, preferences and the window's layout."""

from __future__ import annotations

import logging
import shutil
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta

from slopebeat.disk.places import settings_folder
from slopebeat.model import language
from slopebeat.model.codec import Undecodable, convert, parse, repaired, to_builtins
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
from slopebeat.session.small_files import damaged_name, write_small


@dataclass(frozen=True)
class BackdropChoice:
    """What lies behind the plan: own outings, and files of the user's with elevations and tiles."""

    trails: bool = True
    elevation: Path | None = None
    tiles: Path | None = None


BY_SYSTEM = "system"
"""The choice that leaves it to the system."""

TEXT_PERCENT = (80, 160)
"""Least and most text size; beyond it tables and captions no longer fit [project choice]."""


class Units(StrEnum):
    """Which units were asked for."""

    SYSTEM = BY_SYSTEM
    METRIC = "metric"
    IMPERIAL = "imperial"


class Appearance(StrEnum):
    """Which colours were asked for."""

    SYSTEM = BY_SYSTEM
    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True)
class Preferences:
    """What was chosen; ``language`` is a code of ``language.LANGUAGES`` or the system's.

    With ``pace`` walkers and runners see time per kilometre or mile instead of speed.
    """

    units: Units = Units.SYSTEM
    language: Annotated[str, Meta(pattern=f"^({'|'.join([BY_SYSTEM, *language.LANGUAGES])})$")] = BY_SYSTEM
    look: Appearance = Appearance.SYSTEM
    text_percent: Annotated[int, Meta(ge=TEXT_PERCENT[0], le=TEXT_PERCENT[1])] = 100
    pace: bool = False
    backdrop: BackdropChoice = field(default_factory=BackdropChoice)


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


MOST_DECISIONS = 500
"""Decisions on days in parts that are kept [project choice]."""


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
    """The role that wrote the last note."""
    preferences: Preferences = field(default_factory=Preferences)
    layout: Layout = Layout()
    joined: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    bike_band: BandChoice | None = None
    """How the band of parts on a bike is found, once one was entered there for itself."""

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


MOST_RECENT = 8
"""How many files the list of recent ones holds [project choice]."""

VERSION = 1
"""Of the layout of the file."""

_log = logging.getLogger(__name__)


def default_path() -> Path:
    return settings_folder() / "settings.json"


class Settings:
    """A small JSON file with the ``content``, changed by :meth:`keep`.

    What is damaged in it falls back to its default, and the file is set aside.
    """

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or default_path()
        self.content = Content()
        self._load()

    @property
    def recent(self) -> tuple[Path, ...]:
        """The files opened last, the latest first."""
        return self.content.recent[:MOST_RECENT]

    def remember_aim(self, entered: Entered) -> None:
        self.keep(**of_entered(entered))

    def remember_file(self, path: Path) -> None:
        full = path.absolute()
        others = [known for known in self.recent if known != full]
        self.keep(recent=(full, *others)[:MOST_RECENT])

    def joined(self, start: str) -> bool | None:
        """Whether the recording that began then belongs to the one before it; None where nobody said."""
        if start in self.content.joined:
            return True
        return False if start in self.content.apart else None

    def remember_joined(self, said: Mapping[str, bool | None]) -> None:
        """Keep what was said of recordings; the oldest are forgotten."""
        kept = {
            name: [s for s in getattr(self.content, name) if s not in said] for name in ("joined", "apart")
        }
        for start, together in said.items():
            if together is not None:
                kept["joined" if together else "apart"].append(start)
        self.keep(**{name: tuple(each[-MOST_DECISIONS:]) for name, each in kept.items()})

    def keep(self, **changes: Any) -> None:
        """Remember these fields of the content from now on, in the file, too."""
        content = replace(self.content, **changes)
        if content != self.content:
            self.content = content
            self._save()

    def _load(self) -> None:
        damaged: list[str] = []
        try:
            self.content = read_content(self.path.read_text(encoding="utf-8"), damaged)
        except FileNotFoundError:
            return
        except (OSError, UnicodeDecodeError) as error:
            self._repair(f"all of it ({error})")
            return
        # Heart rates and masses are nobody else's; earlier versions left the file open to all.
        with suppress(OSError):
            self.path.chmod(0o600)
        if damaged:
            self._repair(", ".join(damaged))

    def _repair(self, damaged: str) -> None:
        """Set the damaged file aside and write a sound one, with one line in the log."""
        aside = damaged_name(self.path)
        try:
            shutil.copyfile(self.path, aside)
        except OSError as error:
            _log.warning("settings: damaged in %s (%s), not set aside: %s", self.path, damaged, error)
            return
        self._save()
        _log.warning("settings: damaged in %s; the rest is kept, the damaged file is now %s", damaged, aside)

    def _save(self) -> None:
        write_small(self.path, {"version": VERSION, **to_builtins(self.content)}, indent=1)
