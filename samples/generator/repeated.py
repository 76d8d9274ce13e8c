"""Outings over the same ground again and again: loops from one hut, gone either way, and ways gone once.

What is known of each: which loop lies under every metre of it and in which direction it was gone, and how
much higher the heart was that day for no other reason.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from .fit_file import write_fit
from .outing import Athlete, Noise, Outing, simulate
from .terrain import GRID_M, Array, Mode, Profile, from_segments

FIRST_DAY = datetime(2026, 3, 2, 8, tzinfo=UTC)
LOOP_M = {"hike": 2400.0, "ride": 7500.0}
ONCE_M = {"hike": 900.0, "ride": 2500.0}
"""Lengths of a loop, and of each half of the way there and back that is gone on one day only."""

GRADE = {"hike": 0.11, "ride": 0.05}


@dataclass(frozen=True)
class Days:
    """What days differ by.

    Attributes
    ----------
    level_bpm : sd of a day's heart rate at equal work. change_bpm : its change from first to last day.
    push : sd of the effort chosen, as a share. faster : what that changes by from first to last day.
    """

    level_bpm: float = 3.0
    change_bpm: float = 0.0
    push: float = 0.08
    faster: float = 0.0


@dataclass(frozen=True, eq=False)
class RepeatedOuting:
    """One outing and what is true of it.

    Attributes
    ----------
    legs : number of the loop, one more, negative where it was gone backwards, 0 for ground gone once; with
        where the leg ends, metres from the start. level_bpm : of the day.
    """

    start: datetime
    outing: Outing
    legs: tuple[tuple[int, float], ...]
    level_bpm: float

    def leg_at(self, distance_m: Array) -> Array:
        """(n,) the leg at some metres from the start."""
        ends = np.array([end for _, end in self.legs])
        names = np.array([name for name, _ in self.legs])
        return np.asarray(names[np.minimum(np.searchsorted(ends, distance_m), names.size - 1)])

    def write(self, folder: Path) -> Path:
        """Write a FIT activity with a record every few seconds."""
        end = self.outing.moving.size - 1
        rows = np.unique(np.append(np.arange(0, end, 3), end))
        sport = ("hiking", "generic") if self.outing.mode == "hike" else ("cycling", "mountain")
        path = folder / f"repeated_{self.start:%Y-%m-%d}.fit"
        path.write_bytes(write_fit(self.outing, rows, self.start, [0], sport))
        return path


def repeated_outings(
    seed: int,
    count: int,
    mode: Mode = "hike",
    loops: int = 5,
    gps_m: float = 3.0,
    cost_error: float = 0.0,
    days: Days = Days(),
) -> Iterator[RepeatedOuting]:
    """So many outings, one every fourth day; each goes two or three of the loops and one way of its own."""
    rng = np.random.default_rng([seed, 0])
    ground = [_loop(mode, number, loops, rng) for number in range(loops)]
    for number in range(count):
        own = np.random.default_rng([seed, 1, number])
        share = number / max(count - 1, 1)
        names = [int(each) + 1 for each in own.choice(loops, int(own.integers(2, 4)), replace=False)]
        names = [name if own.random() < 0.75 else -name for name in names]
        parts = [ground[abs(name) - 1] if name > 0 else _backwards(ground[-name - 1]) for name in names]
        at = int(own.integers(0, len(parts) + 1))
        parts.insert(at, _once(mode, own))
        names.insert(at, 0)
        level = float(own.normal(0.0, days.level_bpm)) + days.change_bpm * share
        push = 1.0 + float(own.normal(0.0, days.push)) + days.faster * share
        ends = np.cumsum([part.length_m for part in parts]).tolist()
        outing = simulate(
            _joined(parts),
            mode,
            6.0,
            own,
            cost_error=cost_error,
            noise=Noise(gps_m=gps_m),
            athlete=_today(Athlete(), level, push),
        )
        yield RepeatedOuting(
            FIRST_DAY + timedelta(days=4 * number), outing, tuple(zip(names, ends, strict=True)), level
        )


def _today(usual: Athlete, level_bpm: float, push: float) -> Athlete:
    return replace(
        usual,
        level_speed_mps=usual.level_speed_mps * push,
        climb_w_per_kg=usual.climb_w_per_kg * push,
        ride_level_w_per_kg=usual.ride_level_w_per_kg * push,
        ride_climb_w_per_kg=usual.ride_climb_w_per_kg * push,
        hike_hr0_bpm=usual.hike_hr0_bpm + level_bpm,
        ride_hr0_bpm=usual.ride_hr0_bpm + level_bpm,
    )


def _loop(mode: Mode, number: int, loops: int, rng: np.random.Generator) -> Profile:
    """A loop from the hut and back to it, up and down one hill, each into a direction of its own."""
    half = LOOP_M[mode] / 2.0
    rise = GRADE[mode] * half * float(rng.uniform(0.7, 1.1))
    ground = from_segments([(half, rise), (half, -rise)], rng, ripple=0.01, shape="loop")
    east, north = ground.east_m - ground.east_m[0], ground.north_m - ground.north_m[0]
    away = np.arctan2(north.mean(), east.mean())
    turn = 2.0 * np.pi * number / loops - away
    c, s = np.cos(turn), np.sin(turn)
    level = ground.elevation_m - np.linspace(
        ground.elevation_m[0], ground.elevation_m[-1], ground.elevation_m.size
    )
    return _profile(1200.0 + level, c * east - s * north, s * east + c * north)


def _once(mode: Mode, rng: np.random.Generator) -> Profile:
    """Out and back on ground of its own, from the hut."""
    rise = GRADE[mode] * ONCE_M[mode] * float(rng.uniform(-0.5, 0.5))
    ground = from_segments([(ONCE_M[mode], rise)], rng, ripple=0.01, shape="out_and_back")
    level = ground.elevation_m - ground.elevation_m[0]
    return _profile(1200.0 + level, ground.east_m - ground.east_m[0], ground.north_m - ground.north_m[0])


def _backwards(ground: Profile) -> Profile:
    return _profile(ground.elevation_m[::-1], ground.east_m[::-1], ground.north_m[::-1])


def _joined(parts: Sequence[Profile]) -> Profile:
    """Parts that begin and end at the hut, one after the other."""
    rows = [[getattr(part, name)[:-1] for part in parts] for name in ("elevation_m", "east_m", "north_m")]
    return _profile(*(np.concatenate([*row, row[0][:1]]) for row in rows))


def _profile(elevation_m: Array, east_m: Array, north_m: Array) -> Profile:
    return Profile(elevation_m, np.gradient(elevation_m, GRID_M), east_m, north_m)
