"""A person: what moving costs them and how their heart answers. Nothing here is the program's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from chance import Array, Rng
from worlds import World

BODY_KG, BIKE_KG, GRAVITY, AIR_KG_M3, DRIVE = 75.0, 14.0, 9.81, 1.1, 0.976
STANDING_W_PER_KG = {"run": 1.4, "hike": 1.4, "ride": 0.0}
RUN_COST = np.array([155.4, -30.4, -43.3, 46.3, 19.5, 3.6])  # J/kg/m by grade (Minetti 2002)


@dataclass(frozen=True)
class Person:
    """One athlete on one day.

    Attributes
    ----------
    up, down : factors on what climbing and descending cost beyond the level. level : on level cost.
    gain, rest_bpm : beats per W/kg and heart rate at no work.
    delay_s, rising_s, falling_s : start of the answer; its quick part, rising and falling.
    slow_share, slow_s : part of the answer that comes slowly.
    cda_m2, crr : a rider's drag area and rolling resistance.
    """

    sport: str
    level: float
    up: float
    down: float
    gain: float
    rest_bpm: float
    delay_s: int
    rising_s: float
    falling_s: float
    slow_share: float
    slow_s: float
    cda_m2: float
    crr: float

    def cost(
        self, speed: Array, grade: Array, ground: Array | float = 1.0, load_kg: Array | float = 0.0
    ) -> Array:
        """W/kg of body mass of holding a speed on a grade; a bike in still air, floored at zero."""
        total = (BODY_KG + load_kg) / BODY_KG
        if self.sport == "ride":
            mass = BODY_KG + BIKE_KG + np.asarray(load_kg)
            pull = self._on_slope(GRAVITY * mass * grade)
            force = 0.5 * AIR_KG_M3 * self.cda_m2 * speed**2 + mass * GRAVITY * self.crr * ground + pull
            return np.asarray(np.maximum(force * speed / DRIVE / BODY_KG, 0.0))
        if self.sport == "run":
            flat = RUN_COST[-1]
            slope = np.polyval(RUN_COST, np.clip(grade, -0.45, 0.45)) - flat
            per_metre = flat * self.level * ground + self._on_slope(slope)
            return np.asarray(np.maximum(per_metre, 1.0) * speed * total + STANDING_W_PER_KG["run"])
        percent = np.clip(100.0 * grade, -40.0, 45.0)
        flat_w = 1.94 * np.maximum(speed, 0.0) ** 0.43 + 0.24 * speed**4
        slope = 0.34 * speed * percent * (1.0 - 1.05 ** (1.0 - 1.1 ** (percent + 32.0)))
        moving = flat_w * self.level * ground + self._on_slope(slope)
        return np.asarray((STANDING_W_PER_KG["hike"] + np.maximum(moving, 0.3)) * total)

    def _on_slope(self, extra: Array) -> Array:
        return np.where(extra > 0.0, self.up, self.down) * extra

    def answer(self, work: Array) -> Array:
        """Heart rate that follows work at one step a second, without drift or wander."""
        late = np.concatenate([np.repeat(work[:1], self.delay_s), work])[: work.size]
        quick = _follow(late, self.rising_s, self.falling_s)
        slow = _follow(late, self.slow_s, self.slow_s)
        return self.rest_bpm + self.gain * ((1.0 - self.slow_share) * quick + self.slow_share * slow)

    def steady_bpm(self, speed: Array, grade: Array) -> Array:
        """Where heart rate settles at a speed on a grade, drift apart; for ceilings."""
        return self.rest_bpm + self.gain * self.cost(speed, grade)


def _follow(pull: Array, rising_s: float, falling_s: float) -> Array:
    up, down = 1.0 - np.exp(-1.0 / rising_s), 1.0 - np.exp(-1.0 / falling_s)
    out, state = np.empty(pull.size), float(pull[0])
    for k, target in enumerate(pull.tolist()):
        state += (up if target > state else down) * (target - state)
        out[k] = state
    return out


def draw_person(rng: Rng, sport: str, world: World) -> Person:
    """Somebody of this world."""
    up, down = np.clip(rng.normal(1.0, world.slope_sd, 2), 0.6, 1.4)
    area, rolling = np.clip(rng.normal(1.0, world.drag_sd, 2), 0.5, 1.6)
    gain = {"run": (5.5, 9.0), "hike": (8.0, 13.0), "ride": (20.0, 30.0)}[sport]
    rising = rng.uniform(30.0, 70.0)
    return Person(
        sport=sport,
        level=float(rng.normal(1.0, 0.05)),
        up=float(up),
        down=float(down),
        gain=rng.uniform(*gain),
        rest_bpm=rng.uniform(52.0, 72.0) if sport != "ride" else rng.uniform(65.0, 85.0),
        delay_s=int(rng.uniform(4.0, 16.0)),
        rising_s=rising,
        falling_s=rising * rng.uniform(0.9, 1.5),
        slow_share=rng.uniform(0.05, 0.35),
        slow_s=rng.uniform(120.0, 320.0),
        cda_m2=0.45 * float(area),
        crr=0.015 * float(rolling),
    )
