"""What was done: physics first, the file's word only where they are silent.

Speeds, steps and climbing tell a ride from a run and a run from a walk; all limits are project choices,
measured on outings whose sport is known.

The keys of what was done stand here, and what the words in files mean by them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slopebeat.model.numerics import median, quantile, zero_where_unknown
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.track import Array, Track, Windows


class Activity(StrEnum):
    """What was done; the value is the key that files and libraries keep."""

    WALK = "walk"
    RUN = "run"
    MIXED = "mixed"
    """On foot, partly walked and partly run."""
    RIDE = "ride"
    ELECTRIC = "electric"
    LIFTS = "lifts"
    """Mostly carried up: skiing or riding downhill."""
    SKIING = "skiing"
    SWIMMING = "swimming"
    STRENGTH = "strength"
    TREADMILL = "treadmill"
    HEART_ONLY = "heart_only"
    """Heart rate and time, and no ground."""
    FRAGMENT = "fragment"
    """Too little to tell."""
    OTHER = "other"

    @property
    def on_foot(self) -> bool:
        return self in (Activity.WALK, Activity.RUN, Activity.MIXED, Activity.TREADMILL)

    @property
    def has_work(self) -> bool:
        """Whether ground or power tell a work rate; a motor's part of it is a doubt of its own."""
        return self.on_foot or self in (Activity.RIDE, Activity.ELECTRIC, Activity.FRAGMENT)


WORDS: tuple[tuple[Activity, tuple[str, ...]], ...] = (
    (Activity.ELECTRIC, ("e_bik", "ebik", "e_mtb", "electric_bi")),
    (Activity.FRAGMENT, ("snowshoe",)),
    (Activity.SKIING, ("ski", "snowboard", "sledge", "sled")),
    (Activity.SWIMMING, ("swim",)),
    (Activity.STRENGTH, ("strength", "weight", "fitness_equipment", "gym", "yoga", "pilates", "cardio")),
    (Activity.TREADMILL, ("treadmill",)),
)
"""Parts of the words found in files; the first row that fits decides, and the second says nothing: snow shoes
are gone on foot."""


def activity_stated(word: str) -> Activity | None:
    """What the file's own words mean where it is not plain walking, running or riding; None elsewhere."""
    found = next((kind for kind, parts in WORDS if any(part in word for part in parts)), None)
    return None if found is Activity.FRAGMENT else found


RUN_STEPS_PER_MIN = 140.0
"""Runners take more steps a minute than this, walkers fewer [project choice]."""

STEPPING_PER_MIN = 40.0
"""Fewer steps are none [project choice]."""

RUN_SHARE, WALK_SHARE = 0.6, 0.25
"""Share of the moving time at running steps from which it is a run, and up to which it is a walk
[project choice]."""

WHEELS_MPS, STEP_M = 6.5, 2.0
"""Faster for a twentieth of the time, or longer steps, need wheels [project choice]."""

WALK_MPS, RUN_MPS, STEEP_MPS, STEEP_M_PER_H = 1.8, 2.2, 2.0, 500.0
"""Without steps: a usual speed under the first, or under the third where so much is climbed, is a walk; over
the second it is a run [project choice]."""

SHORTEST_S, SHORTEST_M, HEART_ONLY_S = 300.0, 100.0, 300.0
"""Less moved is a fragment; hardly any way but so much recorded is heart rate alone [project choice]."""

STEADY_S = 120.0
"""Climbing and lifts are seen over two minutes [project choice]."""

LIFT_MPS, LIFT_LEAST_M, DOWN_FAST_MPS = 2100.0 / 3600.0, 150.0, 4.0
"""Most of the ascent climbed faster than anyone can, and fast down, is lifts [project choice]: vertical races
are won at less, from memory."""

TIMER_OFF_M, TIMER_OFF_S = 400.0, 30.0
"""So much risen with the timer off, and five times as much sunk as climbed, is lifts, too
[project choice]."""

ELECTRIC_M_PER_H, ELECTRIC_LEAST_M = 1200.0, 150.0
"""Ridden up faster than this for so much ascent at an easy heart rate is helped by a motor
[project choice]."""

EASY_BPM = 120.0
"""An easy heart rate for such a climb [project choice]."""


@dataclass(frozen=True)
class Recognised:
    """What was done, and whether it contradicts the file's word.

    Attributes
    ----------
    kind : what was done. stated : what the file says, None where it says nothing of these.
    by_hand : a user said so.
    """

    kind: Activity
    stated: Activity | None
    by_hand: bool = False

    @property
    def contradicts(self) -> bool:
        """Something else was done than the file says: on other ground, or not of the athlete's own."""
        kinds = {self.kind, self.stated}
        if self.stated is None or self.by_hand or len(kinds) == 1 or self.kind in SILENT:
            return False
        return not kinds <= {Activity.RUN, Activity.MIXED, Activity.WALK} or Activity.MIXED not in kinds


SILENT = (Activity.FRAGMENT, Activity.HEART_ONLY)
"""What says nothing against the file's word."""

SAID = {
    Sport.WALKING: Activity.WALK,
    Sport.HIKING: Activity.WALK,
    Sport.RUNNING: Activity.RUN,
    Sport.CYCLING: Activity.RIDE,
    Sport.MOUNTAIN_BIKING: Activity.RIDE,
    Sport.OTHER: Activity.OTHER,
}


def recognise(
    recording: Recording, track: Track, step_rate_per_min: Array, by_hand: bool = False
) -> Recognised:
    """What was done.

    Parameters
    ----------
    step_rate_per_min : (n,) steps of both legs. by_hand : the recording's sport is a user's word.
    """
    stated = SAID.get(recording.sport)
    word = activity_stated(recording.sport_text)
    if by_hand:
        return Recognised(stated or Activity.OTHER, stated, True)
    if word is not None and (word is not Activity.TREADMILL or stated is not Activity.RIDE):
        return Recognised(word, word)
    return Recognised(_by_physics(_features(track, step_rate_per_min), stated), stated)


@dataclass(frozen=True)
class _Features:
    recorded_s: float
    moving_s: float
    way_m: float
    speed_median_mps: float
    speed_high_mps: float
    steps_median: float
    stepping_share: float
    running_share: float
    up_m: float
    down_m: float
    lifted_m: float
    timer_off_m: float
    motor: bool


def _by_physics(f: _Features, stated: Activity | None) -> Activity:
    if f.way_m < SHORTEST_M:
        return Activity.HEART_ONLY if f.recorded_s >= HEART_ONLY_S else Activity.FRAGMENT
    lifted = f.lifted_m > LIFT_LEAST_M and f.lifted_m > 0.5 * f.up_m
    lifted |= f.timer_off_m > TIMER_OFF_M and f.down_m > 5.0 * f.up_m
    if f.speed_high_mps > DOWN_FAST_MPS and lifted:
        return Activity.LIFTS
    if f.moving_s < SHORTEST_S:
        return Activity.FRAGMENT
    if stated is Activity.OTHER:
        return Activity.OTHER
    if stated is Activity.RIDE or _on_wheels(f, stated):
        return Activity.ELECTRIC if f.motor else Activity.RIDE
    if f.stepping_share > 0.5:
        if f.running_share >= RUN_SHARE:
            return Activity.RUN
        return Activity.WALK if f.running_share <= WALK_SHARE else Activity.MIXED
    steep = f.up_m / f.moving_s * 3600.0 > STEEP_M_PER_H and f.speed_median_mps < STEEP_MPS
    if f.speed_median_mps < WALK_MPS or steep:
        return Activity.WALK
    if f.speed_median_mps > RUN_MPS:
        return Activity.RUN
    return stated or Activity.WALK


def _on_wheels(f: _Features, stated: Activity | None) -> bool:
    step_m = f.speed_median_mps * 60.0 / f.steps_median if f.steps_median > 0.0 else 0.0
    without_steps = f.speed_median_mps > (5.5 if stated else 4.2) and f.stepping_share <= 0.5
    wheels = f.speed_high_mps > WHEELS_MPS or step_m > STEP_M or (without_steps and f.moving_s > 600.0)
    return wheels and not (f.running_share > RUN_SHARE and step_m <= STEP_M)


def _features(track: Track, steps: Array) -> _Features:
    speed, moving = track.speed_mps, track.moving_s
    total = float(moving.sum())
    known = track.moving & np.isfinite(speed) & (track.recorded_s > 0.0)
    stepping = known & (zero_where_unknown(steps) > STEPPING_PER_MIN)
    with np.errstate(invalid="ignore"):
        running = (steps >= RUN_STEPS_PER_MIN) & (speed > 1.2)
    climb = zero_where_unknown(track.vertical_speed_mps)
    rising = np.maximum(climb, 0.0) * track.recorded_s
    steadily = zero_where_unknown(Windows(track, STEADY_S).mean(climb))
    lifted = steadily > LIFT_MPS
    height = np.diff(track.elevation_m, append=np.nan)
    off = (track.pause_s + track.gap_s) > TIMER_OFF_S
    way = track.distance_m[np.isfinite(track.distance_m)]

    def share(mask: np.ndarray) -> float:
        return float(moving[mask].sum() / total) if total > 0.0 else 0.0

    return _Features(
        recorded_s=float(track.recorded_s.sum()),
        moving_s=total,
        way_m=float(way[-1] - way[0]) if way.size else 0.0,
        speed_median_mps=median(speed[known]) if known.any() else 0.0,
        speed_high_mps=quantile(speed[known], 0.95) if known.any() else 0.0,
        steps_median=median(steps[stepping]) if stepping.any() else 0.0,
        stepping_share=share(zero_where_unknown(steps) > STEPPING_PER_MIN),
        running_share=share(running),
        up_m=float(rising.sum()),
        down_m=float((np.maximum(-climb, 0.0) * track.recorded_s).sum()),
        lifted_m=float(rising[lifted].sum()),
        timer_off_m=float(np.nansum(np.maximum(height[off], 0.0))),
        motor=_motor(track, steadily, rising),
    )


def _motor(track: Track, steadily_mps: Array, rising_m: Array) -> bool:
    """Climbed faster than riders do with an easy heart."""
    fast = steadily_mps > ELECTRIC_M_PER_H / 3600.0
    hr = track.hr_bpm[fast]
    hr = hr[np.isfinite(hr)]
    return bool(float(rising_m[fast].sum()) >= ELECTRIC_LEAST_M and hr.size and median(hr) < EASY_BPM)
