"""Heart rate in parts that add up: usual, drift, what effort off the usual does to it, and the rest.

``heart rate = usual + drift + K(effort - U) + rest`` in bpm. Effort is the work rate as this heart answers
it, the fit's corrections for climbing and sinking in it; K its answer, late and lagged; U the mean effort of
going on gentle ground; usual the heart rate at U in the tenth minute. Effort off U is parted further:
standing; what the ground asked, where even the slowest reasonable speed asks more than U; and what the
athlete chose.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.ceiling import slowest_mps
from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import STEP_S, WARM_UP_S, held_means, make_grid
from slopebeat.analysis.response.lag import delayed, lag_means
from slopebeat.analysis.response.priors import SLOW_S, SLOW_SHARE, STANDING_BPM, TAU_S
from slopebeat.analysis.response.work_rate import MINETTI_GRADE, STANDING_W
from slopebeat.model.track import CLIMBING_GRADE, Array, Track

GENTLE_S = 600.0
"""Less gentle ground than this makes no usual effort; all moving time does then [project choice]."""

TYPICAL_DELAY_S = 10.0
"""Delay where nothing was fitted [project choice]."""

LEAST_GAIN = 0.5
"""bpm per W/kg: no heart answers less [project choice]; keeps corrections of slope finite."""

SteadyWork = Callable[[Array, Array], Array]


@dataclass(frozen=True, eq=False)
class HeartParts:
    """The parts of the heart rate at each sample, (n,) in bpm; NaN where heart rate is unknown only in rest.

    Attributes
    ----------
    usual_bpm : heart rate at the usual effort in the tenth minute; NaN where it cannot be known.
    drift, standing, steep, chosen, rest : what drift, standing, the ground's demand and the athlete's choice
        added, and what none of them explains.
    place : grade of the ground covered in the heart's memory.
    hours : hours since the tenth minute.
    drift_bpm_per_h : mean and ends of the 95 % interval; None where drift cannot be separated from effort.
    work_known : whether work was known for most of the moving time.
    usual_effort : U, W/kg as this heart answers it; NaN where it cannot be known.
    """

    usual_bpm: float
    drift: Array
    standing: Array
    steep: Array
    chosen: Array
    rest: Array
    place: Array
    hours: Array
    drift_bpm_per_h: tuple[float, float, float] | None
    work_known: bool
    usual_effort: float = float("nan")


@dataclass(frozen=True)
class HeartAnswer:
    """How the heart answers effort: beats per W/kg, corrections for slope, slow part, kinetics."""

    gain: float
    up: float
    down: float
    slow: float
    tau_s: float
    delay_s: float

    def effort(self, inputs: Array) -> Array:
        """(m,) effort, W/kg, of a grid's work, climbing and sinking."""
        return np.asarray(inputs[:, 0] + (self.up * inputs[:, 1] + self.down * inputs[:, 2]) / self.gain)

    def to(self, effort: Array) -> Array:
        """bpm of each step for (m,) effort in W/kg."""
        quick, slow = lag_means(effort, STEP_S, self.tau_s), lag_means(effort, STEP_S, SLOW_S)
        return delayed(self.gain * quick + self.slow * (slow - quick), round(self.delay_s / STEP_S))


def heart_parts(track: Track, work_w_per_kg: Array, response: Response, steady: SteadyWork) -> HeartParts:
    """Part the heart rate of an outing.

    Parameters
    ----------
    work_w_per_kg : (n,) work rate, NaN where unknown.
    response : the fit; without a usable one a typical answer stands in, and drift is not known.
    steady : ``work(speed_mps, grade)`` of holding a speed, W/kg, with the masses of the outing.
    """
    n, moving_s = len(track), float(track.moving_s.sum())
    known_s = float(track.moving_s[np.isfinite(work_w_per_kg)].sum())
    if n < 2 or known_s < 0.5 * moving_s or known_s <= 0.0:
        return _unknown(track)
    inputs = make_grid(track, work_w_per_kg).inputs
    way = _on_grid(track, np.where(track.moving, track.speed_mps, 0.0), len(inputs))
    moving = _on_grid(track, track.moving.astype(float), len(inputs)) > 0.5
    climb = inputs[:, 1] - inputs[:, 2]
    place = _place(climb, way)
    usable = response.posterior is not None and response.status is FitStatus.USABLE
    answer = fitted_answer(response) if usable else _typical(track, work_w_per_kg)
    effort = answer.effort(inputs)
    usual_effort = _usual_effort(effort, moving, place)
    asked = _asked(track, effort, usual_effort, (way, climb, moving), answer, steady)
    over = effort - usual_effort
    parts = (np.where(moving, 0.0, over), asked, np.where(moving, over - asked, 0.0))
    standing, steep, chosen = (at_samples(track, answer.to(part)) for part in parts)
    hours = hours_of_drift(track.t_s)
    rate = _rate(response) if usable else None
    drift = (0.0 if rate is None else rate[0]) * hours
    without = track.hr_bpm - standing - steep - chosen
    going = track.moving & np.isfinite(without) & (track.t_s >= WARM_UP_S)
    usual = _usual_bpm(response, answer, usual_effort) if usable else track.mean(without, going)
    return HeartParts(
        usual_bpm=usual,
        drift=np.asarray(drift),
        standing=standing,
        steep=steep,
        chosen=chosen,
        rest=np.asarray(without - usual - drift),
        place=at_samples(track, place),
        hours=hours,
        drift_bpm_per_h=rate,
        work_known=True,
        usual_effort=usual_effort,
    )


def hours_of_drift(t_s: Array) -> Array:
    """Hours since the tenth minute."""
    return np.asarray(np.maximum(t_s - WARM_UP_S, 0.0) / 3600.0)


def _unknown(track: Track) -> HeartParts:
    """Without work nothing but the ground itself can be known, where the track has it."""
    nothing = np.zeros(len(track))
    grade = np.where(track.moving, np.nan_to_num(track.grade), 0.0)
    hours = hours_of_drift(track.t_s)
    rest = np.full(len(track), np.nan)
    return HeartParts(
        float("nan"),
        nothing,
        nothing,
        nothing,
        nothing,
        rest,
        grade,
        hours,
        None,
        work_known=False,
    )


def fitted_answer(response: Response) -> HeartAnswer:
    """The answer of a usable fit."""
    posterior = response.posterior
    assert posterior is not None
    gain, up, down, slow = (float(value) for value in posterior.mean[2:6])
    return HeartAnswer(max(gain, LEAST_GAIN), up, down, slow, posterior.mean_tau_s, posterior.mean_delay_s)


def _typical(track: Track, work: Array) -> HeartAnswer:
    """The answer through the heart rate of standing, published kinetics, no correction of slopes."""
    use = track.moving & np.isfinite(work) & np.isfinite(track.hr_bpm) & (track.recorded_s > 0.0)
    gain = LEAST_GAIN
    if use.any():
        mean_hr, mean_work = track.mean(track.hr_bpm, use), track.mean(work, use)
        gain = max((mean_hr - STANDING_BPM) / max(mean_work - STANDING_W[track.on_bike], 0.3), 1.0)
    return HeartAnswer(gain, 0.0, 0.0, SLOW_SHARE * gain, TAU_S, TYPICAL_DELAY_S)


def _usual_effort(effort: Array, moving: NDArray[np.bool_], place: Array) -> float:
    late = STEP_S * np.arange(effort.size) >= WARM_UP_S
    gentle = moving & late & (np.abs(place) <= CLIMBING_GRADE)
    counted = gentle if gentle.sum() * STEP_S >= GENTLE_S else moving & late
    return float(effort[counted].mean()) if counted.any() else float(effort.mean())


def _asked(
    track: Track,
    effort: Array,
    usual: float,
    ground: tuple[Array, Array, NDArray[np.bool_]],
    answer: HeartAnswer,
    steady: SteadyWork,
) -> Array:
    """(m,) effort over the usual that even the slowest speed asks here, never more than was done."""
    way, climb, moving = ground
    grade = np.where(way > 0.1, np.clip(climb / np.maximum(way, 0.1), 0.0, MINETTI_GRADE[1]), 0.0)
    slow = np.minimum(way, slowest_mps(track.on_bike, grade))
    least = np.minimum(effort, steady(slow, grade) + answer.up * slow * grade / answer.gain)
    return np.where(moving & (grade > CLIMBING_GRADE), np.maximum(least - usual, 0.0), 0.0)


def _usual_bpm(response: Response, answer: HeartAnswer, usual_effort: float) -> float:
    """Heart rate the fit expects at the usual effort, on the level, in the tenth minute."""
    posterior = response.posterior
    assert posterior is not None
    mean, centre = posterior.mean, posterior.mean_centre
    level = mean[0] + mean[1] * (WARM_UP_S - posterior.centre_t_s)
    away = answer.gain * (usual_effort - centre[0]) - mean[3:6] @ centre[1:4]
    return float(level + away)


def _rate(response: Response) -> tuple[float, float, float] | None:
    mean, ends = response.drift_bpm_per_h, response.drift_interval_bpm_per_h
    return None if mean is None or ends is None else (mean, *ends)


def _place(climb: Array, way: Array) -> Array:
    """Lagged climbing over lagged way: standing does not dilute it, and no fit is needed for it."""
    both = lag_means(np.column_stack([climb, way]), STEP_S, TAU_S)
    late = delayed(both, round(TYPICAL_DELAY_S / STEP_S))
    return np.where(late[:, 1] > 0.02, late[:, 0] / np.maximum(late[:, 1], 0.02), 0.0)


def _on_grid(track: Track, values: Array, steps: int) -> Array:
    """(m,) means over steps of a value held until the next record; zero in pauses, straight across gaps."""
    edges = STEP_S * np.arange(steps + 1, dtype=np.float64)
    return held_means(track, ((values, 0.0),), np.isfinite(values), edges)[:, 0]


def at_samples(track: Track, steps: Array) -> Array:
    """(n,) value of a grid series at the middle of what each sample stands for."""
    middle = STEP_S * (np.arange(steps.size) + 0.5)
    return np.asarray(np.interp(track.t_s + 0.5 * track.recorded_s, middle, steps))
