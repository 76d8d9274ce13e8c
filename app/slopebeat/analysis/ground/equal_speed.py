"""Heart rate at equal speed on ground gone again: the slope between days, the level of a day, what changed.

On one place the ground is the same each time, so whatever a cost curve gets wrong about it cancels. What is
left is how fast it was gone, which the slope allows for, and the day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.track import Array

DAY_BPM, PASS_BPM = 3.2, 7.5
"""What heart rate at equal speed differs by from day to day, and from pass to pass of a day, where nothing
changes: sd, measured on 42 days of one rider over two years as errors of what earlier passes predict, which
were 8.1 with one place a day, 5.2 with five and 3.6 with twenty. What those two years changed is in them, too
[project choice]."""

SPEED, POWER, WORK = "speed", "power", "work"
"""What tells how fast a place was gone: on a bike the logarithm of speed in m/s, where a meter recorded power
that, on foot the modelled work; work and power as a heart answers them, in W/kg."""

PRIOR_SLOPE = {SPEED: (60.0, 25.0), POWER: (12.0, 6.0), WORK: (8.0, 4.0)}
"""Mean and sd of what is expected of a slope before the days tell, bpm per unit of each [project choice]."""

LEAST_DAYS = 3
"""Under so many days nothing is said of a change [project choice]."""

Z_95 = 1.959964

Z_80_POWER = Z_95 + 0.841621
"""Standard errors a true change has to be away from none, to be found in four of five cases."""


@dataclass(frozen=True, eq=False)
class Passes:
    """Passes of one athlete over places, all of one kind of outing: arrays (n,) in order of time.

    Attributes
    ----------
    place : number of the place. day : number of the day, rising; passes of one day have the same.
    effort : how fast, as ``effort_from`` says: :data:`SPEED`, :data:`POWER` or :data:`WORK`.
    hr_bpm : mean heart rate there. All are finite.
    """

    place: NDArray[np.intp]
    day: NDArray[np.intp]
    effort: Array
    hr_bpm: Array
    effort_from: str

    def __len__(self) -> int:
        return int(self.place.size)


@dataclass(frozen=True)
class Slope:
    """What a unit of effort more costs between neighbouring days, bpm, its sd, and the pairs it rests on."""

    bpm: float
    sd_bpm: float
    pairs: int


@dataclass(frozen=True, eq=False)
class DayLevels:
    """How much higher the heart was on each day than it usually is there at that speed: arrays (days,).

    Attributes
    ----------
    day : numbers of the days, rising. level_bpm : the mean over the passes of the day.
    sd_bpm : what such a mean differs by where nothing changes. passes : how many there were.
    """

    day: NDArray[np.intp]
    level_bpm: Array
    sd_bpm: Array
    passes: NDArray[np.intp]


@dataclass(frozen=True)
class Halves:
    """The later half of the days against the earlier half; bpm with a 95 % interval.

    ``seen_bpm`` is the change that would show in four of five such rows of days.
    """

    change_bpm: float
    low_bpm: float
    high_bpm: float
    seen_bpm: float
    days: int

    @property
    def clear(self) -> bool:
        """Whether the interval leaves no change out."""
        return self.low_bpm > 0.0 or self.high_bpm < 0.0


def slope_between_days(passes: Passes) -> Slope:
    """The slope of heart rate on effort between one day at a place and the next one there.

    Differences of neighbouring days know nothing of what changed over months, and nothing of an outing's own
    drift. Pairs of one day share that day and weigh less for it. The prior holds where there are few.
    """
    order = np.lexsort((np.arange(len(passes)), passes.place))
    here, there = order[:-1], order[1:]
    fit = (passes.place[here] == passes.place[there]) & (passes.day[here] != passes.day[there])
    here, there = here[fit], there[fit]
    steps, beats = (each[there] - each[here] for each in (passes.effort, passes.hr_bpm))
    mean, sd = PRIOR_SLOPE[passes.effort_from]
    _, at, pairs_of_day = np.unique(passes.day[there], return_inverse=True, return_counts=True)
    shared = DAY_BPM**2 / (DAY_BPM**2 + PASS_BPM**2)
    weight = 1.0 / (2.0 * (DAY_BPM**2 + PASS_BPM**2) * (1.0 + (pairs_of_day[at] - 1.0) * shared))
    precision = 1.0 / sd**2 + float(np.sum(weight * steps**2))
    bpm = (mean / sd**2 + float(np.sum(weight * steps * beats))) / precision
    return Slope(bpm, float(precision**-0.5), int(here.size))


def usual_effort(passes: Passes) -> Array:
    """(n,) the middle effort of all passes over the place of each."""
    _, at = np.unique(passes.place, return_inverse=True)
    middles = np.array([np.median(passes.effort[at == k]) for k in range(at.max(initial=-1) + 1)])
    return np.asarray(middles[at])


def at_equal_speed(passes: Passes, slope: Slope) -> Array:
    """(n,) heart rate of each pass as it would have been at the usual effort of its place."""
    return np.asarray(passes.hr_bpm - slope.bpm * (passes.effort - usual_effort(passes)))


def day_levels(passes: Passes, equal_bpm: Array) -> DayLevels:
    """The level of every day from all its places.

    Each place has a level of its own, and each day one over all its places; both are found together. Days at
    places that were gone on no other day tell nothing and have none.
    """
    places, place = np.unique(passes.place, return_inverse=True)
    again = np.array([np.unique(passes.day[place == k]).size for k in range(places.size)]) > 1
    kept = again[place] if places.size else np.zeros(0, dtype=bool)
    days, day = np.unique(passes.day[kept], return_inverse=True)
    place, equal = place[kept], equal_bpm[kept]
    of_day, of_place = np.bincount(day, minlength=days.size), np.bincount(place, minlength=places.size)
    level, own = np.zeros(days.size), np.zeros(places.size)
    # A day with few passes says little of its places' levels: it is drawn to no change while these are found.
    drawn = PASS_BPM**2 / (3.0 * DAY_BPM) ** 2
    for _ in range(60):
        own = np.bincount(place, equal - level[day], places.size) / np.maximum(of_place, 1)
        level = np.bincount(day, equal - own[place], days.size) / (of_day + drawn)
    level = np.bincount(day, equal - own[place], days.size) / np.maximum(of_day, 1)
    # The place's own level rests on its other passes.
    doubt = PASS_BPM**2 * (1.0 + 1.0 / np.maximum(of_place[place] - 1.0, 1.0))
    variance = DAY_BPM**2 + np.bincount(day, doubt, days.size) / np.maximum(of_day, 1) ** 2
    return DayLevels(days.astype(np.intp), level, np.sqrt(variance), of_day.astype(np.intp))


def later_half(level_bpm: Array, sd_bpm: Array) -> Halves | None:
    """The later half of some days against the earlier; None under :data:`LEAST_DAYS`.

    Parameters
    ----------
    level_bpm, sd_bpm : (days,) in order of time. Of an odd number the middle day is in neither half.
    """
    days = level_bpm.size
    if days < LEAST_DAYS:
        return None
    half = days // 2
    means, variances = [], []
    for part in (slice(0, half), slice(days - half, days)):
        weight = sd_bpm[part] ** -2.0
        means.append(float(np.average(level_bpm[part], weights=weight)))
        variances.append(float(1.0 / weight.sum()))
    change, sd = means[1] - means[0], float(np.sqrt(sum(variances)))
    return Halves(change, change - Z_95 * sd, change + Z_95 * sd, Z_80_POWER * sd, days)


def pass_sd_bpm(passes_of_day: int) -> float:
    """What the mean of so many passes on one day differs by from other days where nothing changes."""
    return float(np.sqrt(DAY_BPM**2 + PASS_BPM**2 / max(passes_of_day, 1)))
