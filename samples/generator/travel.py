"""How somebody moves over the ground, second by second."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from .cost import STANDING_W_PER_KG, RoadLoad, WalkingCost
from .noise import slow_noise
from .terrain import GRID_M, Array, Profile


@dataclass(frozen=True)
class Interruption:
    """Standing still at a place: a stop with the timer running, or a pause with the timer off."""

    at_m: float
    seconds: int
    timer_running: bool = True


class Mover(Protocol):
    """Chooses the speed of the next second, and knows what the present one costs."""

    def next_speed_mps(self, speed_mps: float, grade: float, push: float, at_m: float) -> float: ...

    def work_w_per_kg(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        """Work per kg of body mass: metabolic on foot, at the pedals on a bicycle."""

    def standing_w_per_kg(self, at_m: float) -> float: ...

    def steady_speed_mps(self, grade: float) -> float: ...


@dataclass(frozen=True)
class Walker:
    """Roughly constant effort, a harder one on climbs, a cautious speed on descents.

    Attributes
    ----------
    level_speed_mps : chosen on level ground; climb_w_per_kg : effort from ``full_effort_grade`` upward,
        per kg of body mass, growing evenly to it from level ground; load_kg : carried until
        ``load_until_m``, moved like body mass.
    """

    cost: WalkingCost
    body_mass_kg: float
    level_speed_mps: float = 1.40
    climb_w_per_kg: float = 7.8
    full_effort_grade: float = 0.08
    load_kg: float = 0.0
    load_until_m: float = math.inf

    def _mass_ratio(self, at_m: float) -> float:
        return 1.0 + (self.load_kg / self.body_mass_kg if at_m < self.load_until_m else 0.0)

    def _target_mps(self, grade: float, push: float, at_m: float) -> float:
        level = self.cost.rate_w_per_kg(self.level_speed_mps, 0.0)
        share = min(max(grade / self.full_effort_grade, 0.0), 1.0)
        effort = push * (level + (self.climb_w_per_kg - level) * share)
        # Shape of the fastest comfortable speed over grade: Tobler's hiking function (1993), raised.
        tobler = math.exp(-3.5 * abs(min(grade, 0.0) + 0.05)) / math.exp(-3.5 * 0.05)
        fastest = self.level_speed_mps * 1.08 * tobler
        return max(self.cost.speed_mps(effort / self._mass_ratio(at_m), grade, fastest), 0.25)

    def next_speed_mps(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        return speed_mps + (self._target_mps(grade, push, at_m) - speed_mps) * 0.22

    def work_w_per_kg(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        return self.cost.rate_w_per_kg(speed_mps, grade) * self._mass_ratio(at_m)

    def standing_w_per_kg(self, at_m: float) -> float:
        return STANDING_W_PER_KG * self._mass_ratio(at_m)

    def steady_speed_mps(self, grade: float) -> float:
        return self._target_mps(grade, 1.0, 0.0)


@dataclass(frozen=True)
class Rider:
    """Steady pedalling, harder on climbs; coasts and brakes downhill."""

    load: RoadLoad
    body_mass_kg: float
    level_w_per_kg: float = 1.45
    climb_w_per_kg: float = 2.45
    full_effort_grade: float = 0.05
    fastest_mps: float = 8.5

    def _pedal_w(self, speed_mps: float, grade: float, push: float) -> float:
        if speed_mps >= self.fastest_mps - 0.3:
            return 0.0
        level, climb = self.level_w_per_kg, self.climb_w_per_kg
        uphill = level + (climb - level) * min(max(grade / self.full_effort_grade, 0.0), 1.0)
        coasting = min(max(1.0 + (grade + 0.005) / 0.015, 0.0), 1.0)
        return push * uphill * coasting * self.body_mass_kg

    def next_speed_mps(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        pedal_w = self._pedal_w(speed_mps, grade, push)
        return self.load.next_speed_mps(speed_mps, grade, pedal_w, self.fastest_mps)

    def work_w_per_kg(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        return self._pedal_w(speed_mps, grade, push) / self.body_mass_kg

    def standing_w_per_kg(self, at_m: float) -> float:
        return 0.0

    def steady_speed_mps(self, grade: float) -> float:
        return self.load.steady_speed_mps(self._pedal_w(2.0, grade, 1.0), grade, self.fastest_mps)


@dataclass
class Journey:
    """One row per second; arrays of one shape (n,), seconds 0, 1, 2 ..."""

    distance_m: Array
    speed_mps: Array
    grade: Array
    work_w_per_kg: Array
    moving: NDArray[np.bool_]
    timer_running: NDArray[np.bool_]


@dataclass
class _Log:
    rows: list[tuple[float, float, float, float, bool, bool]] = field(default_factory=list)

    def journey(self) -> Journey:
        columns = list(zip(*self.rows, strict=True))
        distance, speed, grade, work = (np.array(c, dtype=float) for c in columns[:4])
        return Journey(distance, speed, grade, work, np.array(columns[4]), np.array(columns[5]))


def travel(
    profile: Profile,
    mover: Mover,
    interruptions: Sequence[Interruption],
    rng: np.random.Generator,
    longest_s: int,
) -> Journey:
    """Move along the whole path, or until ``longest_s`` seconds have gone by."""
    grades = profile.grade.tolist()
    push = (
        1.0 + slow_noise(longest_s + 1, 0.05, 240.0, rng) + slow_noise(longest_s + 1, 0.04, 12.0, rng)
    ).tolist()
    waiting = sorted(interruptions, key=lambda i: i.at_m)
    log = _Log()
    at_m, speed = 0.0, 0.0
    while at_m < profile.length_m and len(log.rows) <= longest_s:
        while waiting and at_m >= waiting[0].at_m:
            halt = waiting.pop(0)
            still = (at_m, 0.0, 0.0, mover.standing_w_per_kg(at_m), False, halt.timer_running)
            log.rows += [still] * halt.seconds
            speed = 0.0
        if len(log.rows) > longest_s:
            break
        cell, part = divmod(at_m / GRID_M, 1.0)
        grade = grades[int(cell)] + part * (grades[int(cell) + 1] - grades[int(cell)])
        effort = push[len(log.rows)]
        # The first row is the moment before the first step: whoever starts has been standing.
        work = mover.work_w_per_kg(speed, grade, effort, at_m) if log.rows else mover.standing_w_per_kg(at_m)
        log.rows.append((at_m, speed, grade, work, True, True))
        speed = mover.next_speed_mps(speed, grade, effort, at_m)
        at_m += speed
    log.rows = log.rows[: longest_s + 1]
    return log.journey()


def expected_seconds(profile: Profile, mover: Mover) -> float:
    """Time for the whole path at the steady speed of each grade, without stops."""
    coarse = profile.grade[2::5].tolist()
    return sum(5.0 * GRID_M / mover.steady_speed_mps(grade) for grade in coarse)
