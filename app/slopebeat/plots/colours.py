"""The colours of window and charts, light and dark.

Out-of-band colours are from the diverging, colour-blind-safe scheme PuOr of ColorBrewer 2.0 (C. Brewer,
M. Harrower, The Pennsylvania State University): its ochre end above the band, its purple end below.
Time in band is neutral ink. Position, hatch or a label always says the same.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Colours:
    """One palette; every value is ``#rrggbb``."""

    window: str
    panel: str
    line: str
    ink: str
    muted: str
    grid: str
    accent: str
    accent_ink: str
    selected: str
    above: str
    above_fill: str
    below: str
    below_fill: str
    in_band: str
    fit: str
    band_fill: str
    ground: str
    ground_fill: str
    climb_fill: str
    idle: str
    doubt: str
    warn_fill: str
    dark: bool = False


LIGHT = Colours(
    window="#f3f2ee",
    panel="#ffffff",
    line="#dcdad3",
    ink="#22262b",
    muted="#62686f",
    grid="#e9e7e1",
    accent="#2f4858",
    accent_ink="#ffffff",
    selected="#dfe6ea",
    above="#b35806",
    above_fill="#fdb863",
    below="#542788",
    below_fill="#b2abd2",
    in_band="#22262b",
    fit="#00767a",
    band_fill="#e6e9ea",
    ground="#5b6157",
    ground_fill="#e4e6df",
    climb_fill="#c3c9ba",
    idle="#efede7",
    doubt="#8a8f96",
    warn_fill="#fbf3df",
)

DARK = Colours(
    window="#1b1e21",
    panel="#23272b",
    line="#3a4046",
    ink="#e6e8ea",
    muted="#a3aab1",
    grid="#30363b",
    accent="#9db8c8",
    accent_ink="#14181b",
    selected="#33434d",
    above="#fdb863",
    above_fill="#7f5a26",
    below="#b2abd2",
    below_fill="#4d4170",
    in_band="#f0f1f2",
    fit="#5fd0cf",
    band_fill="#343a3f",
    ground="#b4bbae",
    ground_fill="#363b36",
    climb_fill="#525a4e",
    idle="#2c3034",
    doubt="#8d949b",
    warn_fill="#3d3728",
    dark=True,
)
