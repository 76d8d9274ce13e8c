"""The same outing with its climbs held in band: how fast on each, how long it takes, what it counts.

Heart rate is the fit's answer to effort, and what is left: drift, which goes with time, and a rest, which is
taken to stay at its place on the way. Where a climb was gone faster than the fit lets settle under the aimed
heart rate, it is gone slower; everything else stays as it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.heart_parts import (
    HeartAnswer,
    HeartParts,
    SteadyWork,
    at_samples,
    fitted_answer,
    hours_of_drift,
)
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.response.ceiling import DOUBTS, foot_or_ride, slowest_mps
from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import make_grid
from slopebeat.analysis.response.work_rate import MINETTI_GRADE
from slopebeat.model.bands import Band
from slopebeat.model.numerics import REACH_80, distinct
from slopebeat.model.track import CLIMBING_GRADE, Array, Track

EASE = 0.25
"""Share of the band's width that a climb is aimed under the upper edge: a heart rate that settles at the edge
is over it half of the time [project choice]."""

FINE_GRADE_STEP = 0.01
"""Grades in steps of a percent: a climb is one place, not an outing [project choice]."""

SPEED_STEPS = 120
SPELL_S = 30.0
"""Length of the spells by which what is predicted differs from what happens [project choice, chosen on
simulated outings]."""


ROUNDING_BPM = 1e-6
"""Taking the answer away and adding the same again moves a heart rate by less, and no change of speed that
counts by so little [project choice]."""


@dataclass(frozen=True)
class HeldClimb:
    """How to go one climb.

    Attributes
    ----------
    number : its place in the outing's climbs, from 0.
    speed_mps, vertical_speed_mps : mean of moving; None where nothing need change.
    too_steep_s : moving time on ground where even the slowest speed anyone keeps goes over the aim.
    longer_s : how much longer it takes than it took.
    """

    number: int
    speed_mps: float | None
    vertical_speed_mps: float | None
    too_steep_s: float
    moving_s: float
    longer_s: float


@dataclass(frozen=True, eq=False)
class HeldOuting:
    """The outing gone again.

    Attributes
    ----------
    aimed_bpm : heart rate the climbs are to settle at.
    in_band_s : of it, with both ends of its 80 % interval. recorded_s : how long it takes.
    was_in_band_s, was_recorded_s : the outing as it was.
    lasts_s, hr_bpm : (n,) seconds and heart rate of each sample of the outing.
    """

    aimed_bpm: float
    climbs: tuple[HeldClimb, ...]
    in_band_s: tuple[float, float, float]
    recorded_s: float
    was_in_band_s: float
    was_recorded_s: float
    lasts_s: Array
    hr_bpm: Array


def hold_climbs(
    track: Track,
    work_w_per_kg: Array,
    response: Response,
    parts: HeartParts,
    steady: SteadyWork,
    band: Band,
    climbs: Sequence[Climb],
) -> HeldOuting | None:
    """Go the outing again with every climb held.

    Parameters
    ----------
    work_w_per_kg : (n,) work rate as gone, NaN where unknown.
    parts : of this outing's heart rate, from the same response.
    steady : ``work(speed_mps, grade)`` of holding a speed, W/kg, with the masses of the outing.

    Returns
    -------
    HeldOuting; None without climbs or a usable fit.
    """
    if (
        not climbs
        or response.posterior is None
        or response.status is not FitStatus.USABLE
        or not parts.work_known
    ):
        return None
    answer = fitted_answer(response)
    aimed = band.upper_bpm - EASE * (band.upper_bpm - band.lower_bpm)
    on_climb = _on_climb(track, climbs)
    slope = np.nan_to_num(track.grade)
    climbing = (on_climb >= 0) & track.moving & (slope > CLIMBING_GRADE) & (track.speed_mps > 0.0)
    climbing &= np.isfinite(work_w_per_kg)
    allowed = parts.usual_effort + (aimed - parts.usual_bpm - parts.drift) / answer.gain
    most, steep = _fastest(track, steady, answer, slope, allowed, climbing)
    speed = np.where(climbing & (most < track.speed_mps), most, track.speed_mps)
    slower = climbing & (speed < track.speed_mps)
    stretched = np.where(slower, track.speed_mps / np.where(speed > 0.0, speed, 1.0), 1.0)
    lasts = track.recorded_s * stretched
    change = np.where(slower, steady(speed, slope) - steady(track.speed_mps, slope), 0.0)
    work = np.maximum(work_w_per_kg + np.nan_to_num(change), 0.0)
    again = _again(track, speed, lasts)
    rate = 0.0 if parts.drift_bpm_per_h is None else parts.drift_bpm_per_h[0]
    drift = rate * hours_of_drift(again.t_s)
    # What the answer to effort does not make stays where it was on the way.
    left = track.hr_bpm - parts.drift - _answered(track, work_w_per_kg, answer)
    heart = _but_for_rounding(left + drift + _answered(again, work, answer), track.hr_bpm)
    doubt = _doubt_bpm(track, answer, change, heart - track.hr_bpm)
    return HeldOuting(
        aimed_bpm=aimed,
        climbs=tuple(
            _held_climb(number, on_climb == number, track, speed, lasts, slower, steep)
            for number in range(len(climbs))
        ),
        in_band_s=_counted_s(heart, doubt, lasts, band),
        recorded_s=float(lasts.sum()),
        was_in_band_s=_in_band_s(track.hr_bpm, track.recorded_s, band),
        was_recorded_s=float(track.recorded_s.sum()),
        lasts_s=lasts,
        hr_bpm=heart,
    )


def _on_climb(track: Track, climbs: Sequence[Climb]) -> Array:
    """(n,) for each sample the number of the climb it lies in, -1 off the climbs."""
    numbers = np.full(len(track), -1)
    for number, climb in enumerate(climbs):
        numbers[(track.t_s >= climb.start_s) & (track.t_s < climb.end_s)] = number
    return numbers


def _fastest(
    track: Track,
    steady: SteadyWork,
    answer: HeartAnswer,
    slope: Array,
    allowed: Array,
    climbing: NDArray[np.bool_],
) -> tuple[Array, NDArray[np.bool_]]:
    """(n,) fastest speed whose effort is allowed, no slower than anyone goes; and where that is too fast."""
    most, steep = np.full(len(track), np.inf), np.zeros(len(track), bool)
    steps = np.round(np.minimum(slope, MINETTI_GRADE[1]) / FINE_GRADE_STEP).astype(int)
    for step in distinct(steps[climbing]):
        here, grade = climbing & (steps == step), float(step * FINE_GRADE_STEP)
        least = float(slowest_mps(track.on_bike, grade))
        speeds = np.linspace(least, max(float(track.speed_mps[here].max()), 1.01 * least), SPEED_STEPS)
        effort = steady(speeds, np.full(SPEED_STEPS, grade)) + answer.up * speeds * grade / answer.gain
        known = np.isfinite(effort)
        if np.count_nonzero(known) < 2:
            continue
        rising = np.maximum.accumulate(effort[known])
        most[here] = np.interp(allowed[here], rising, speeds[known])
        steep[here] = allowed[here] < rising[0]
    return most, steep


def _again(track: Track, speed: Array, lasts: Array) -> Track:
    whole = lasts + track.pause_s + track.gap_s
    start = float(track.t_s[0]) + np.concatenate([[0.0], np.cumsum(whole)[:-1]])
    vertical = track.vertical_speed_mps * np.divide(
        speed, track.speed_mps, out=np.ones_like(speed), where=track.speed_mps > 0.0
    )
    return replace(track, t_s=start, recorded_s=lasts, speed_mps=speed, vertical_speed_mps=vertical)


def _answered(track: Track, work: Array, answer: HeartAnswer) -> Array:
    """(n,) what the heart answers to the effort."""
    return at_samples(track, answer.to(answer.effort(make_grid(track, work).inputs)))


def _but_for_rounding(heart: Array, hr_bpm: Array) -> Array:
    """The heart rate gone again; where it is as recorded but for rounding, as recorded: edges are inside."""
    return np.where(np.abs(heart - hr_bpm) < ROUNDING_BPM, hr_bpm, heart)


def _doubt_bpm(track: Track, answer: HeartAnswer, change: Array, moved: Array) -> Array:
    """(n,) standard deviation of the heart rate gone again: none where nothing changes."""
    doubt = DOUBTS[foot_or_ride(track.on_bike, track.speed_mps[track.moving], track.recorded_s[track.moving])]
    ground = answer.gain * np.abs(change) * doubt.cost_share
    differs = np.abs(np.nan_to_num(moved)) > 0.5
    return np.where(differs, np.sqrt(doubt.level_bpm**2 + np.nan_to_num(ground) ** 2), 0.0)


def _in_band_s(heart: Array, lasts: Array, band: Band) -> float:
    return float(lasts[band_state(heart, band) == BandState.IN_BAND].sum())


def _counted_s(heart: Array, doubt: Array, lasts: Array, band: Band) -> tuple[float, float, float]:
    """Seconds in band with both ends of their 80 % interval."""
    shifts = np.linspace(-REACH_80, REACH_80, 5)
    shifted = [_in_band_s(heart + shift * doubt, lasts, band) for shift in shifts]
    middle, spells = _in_band_s(heart, lasts, band), REACH_80 * _spells_s(heart, lasts, band, doubt > 0.0)
    most_s = float(lasts[np.isfinite(heart)].sum())
    low = max(middle - float(np.hypot(middle - min(shifted), spells)), 0.0)
    return middle, low, min(middle + float(np.hypot(max(shifted) - middle, spells)), most_s)


def _spells_s(heart: Array, lasts: Array, band: Band, differs: NDArray[np.bool_]) -> float:
    """Standard deviation of the seconds in band that the heart's own wander makes on what changes."""
    total = float(lasts[differs & np.isfinite(heart)].sum())
    if total <= 0.0:
        return 0.0
    share = _in_band_s(np.where(differs, heart, np.nan), lasts, band) / total
    return float(np.sqrt(share * (1.0 - share) * total * SPELL_S))


def _held_climb(
    number: int,
    here: NDArray[np.bool_],
    track: Track,
    speed: Array,
    lasts: Array,
    slower: NDArray[np.bool_],
    steep: NDArray[np.bool_],
) -> HeldClimb:
    going = here & track.moving
    seconds = float(lasts[going].sum())
    changed = bool((going & slower).any()) and seconds > 0.0
    way = float((lasts * speed)[going].sum())
    rise = float((track.recorded_s * np.nan_to_num(track.vertical_speed_mps))[going].sum())
    return HeldClimb(
        number=number,
        speed_mps=way / seconds if changed else None,
        vertical_speed_mps=rise / seconds if changed else None,
        too_steep_s=float(lasts[going & steep].sum()),
        moving_s=seconds,
        longer_s=float((lasts - track.recorded_s)[here].sum()),
    )
