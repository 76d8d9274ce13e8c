"""What differs between the worlds outings are drawn from, and the ground they lead over."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from chance import Array, Rng, waves

SPORTS = ("run", "hike", "ride")
TERRAINS = ("flat", "laps", "rolling", "up then down", "down then up", "stop and go")

FLAT, LAPS, ROLLING, UP_DOWN, DOWN_UP, STOP_AND_GO = TERRAINS


@dataclass(frozen=True)
class World:
    """How far a world is from what the program assumes.

    Attributes
    ----------
    ground : a stretch of ground costs up to this share more or less than the curve says.
    slope_sd : this person's cost of climbing and of descending, each a factor about the curve's.
    wind_mps : deviation of the wind nobody recorded, which keeps its direction while the way turns.
    load_kg : the most carried without saying so, set down somewhere on the way.
    drag_sd : this rider's drag and rolling resistance, as a factor about a trail rider's.
    bend : how far a drift may be from a straight line (0 = straight).
    lasting_bpm : deviation of a heart's own slow wander: what half-minutes are off a fit is then about what
        it is on real outings, 3 to 6 bpm.
    """

    ground: float
    slope_sd: float
    wind_mps: float
    load_kg: float
    drag_sd: float
    bend: float
    lasting_bpm: float


WORLDS = {
    "LIFE": World(0.08, 0.08, 1.0, 0.0, 0.12, 1.0, 2.5),
    "HARSH": World(0.20, 0.12, 2.5, 9.0, 0.20, 1.0, 3.0),
}


def grade_along(rng: Rng, sport: str, terrain: str, length_m: float) -> Array:
    """Grade at every metre of a way."""
    x = np.arange(length_m)
    low, high = {"run": (0.03, 0.09), "hike": (0.08, 0.18), "ride": (0.04, 0.08)}[sport]
    steep, wide = rng.uniform(low, high), 2.0 if sport == "ride" else 1.0
    rough = waves(rng, x.size, 25.0) * (0.004 if terrain in (FLAT, STOP_AND_GO) else 0.02)
    if terrain in (FLAT, STOP_AND_GO):
        return rough
    if terrain == LAPS:
        lap = rng.uniform(1500.0, 3500.0) * wide
        phase = (x % lap) / lap
        course = np.sin(2 * np.pi * phase) + 0.4 * np.sin(6 * np.pi * phase + rng.uniform(0.0, 6.0))
        return steep * 0.8 * course + np.interp(x % lap, x, rough)
    if terrain == ROLLING:
        return steep * 0.8 * waves(rng, x.size, rng.uniform(120.0, 350.0) * wide) + rough
    top = x[-1] * rng.uniform(0.42, 0.58)
    sign = 1.0 if terrain == UP_DOWN else -1.0
    varied = 1.0 + 0.4 * waves(rng, x.size, 400.0)
    return np.asarray(sign * steep * varied * np.tanh((top - x) / 150.0) + rough)
