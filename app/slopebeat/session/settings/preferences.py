"""What the user chose of how things are shown: units, language, look and text size."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from msgspec import Meta

from slopebeat.model import language

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
