"""Many simulated outings over one way: when each place is reached, and what the heart does.

Every run draws its own response, speed by grade, stops and wander of the heart from what earlier outings
taught (Monte Carlo, seeded): the spread of the runs is the interval of the plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.lag import lag_states
from slopebeat.analysis.pooled_response import WANDER_TAUS_S, PooledResponse
from slopebeat.analysis.route_evidence import GRADES, Evidence, grade_bin
from slopebeat.analysis.route_holding import speed_at_bpm
from slopebeat.analysis.route_profile import Ground
from slopebeat.analysis.route_speed import PooledSpeed
from slopebeat.analysis.route_work import FASTEST_MPS, SLOWEST_MPS, Going
from slopebeat.model.track import Array

RUNS = 400
"""Simulated outings: an 80 % interval then has a standard error of 2 points [project choice]."""

SEED = 20260711
"""One plan asked for twice gives one answer."""

TIME_STEP_S = 5.0
"""Step of the heart-rate course, a tenth of the heart's time constant [project choice]."""

HEAT_PER_C, HEAT_FROM_C, HEAT_TO_C = 0.014, 21.0, 35.0
"""Heart rate at one oxygen uptake rises by 1.4 % per degree of dry bulb between 21 and 35 degrees C
(Ergonomics 1975;18:539, doi:10.1080/00140137508931489; four men, so rough)."""

LEAST_SHARE = 0.4
"""Nobody slows down under this share of the usual speed to hold a heart rate: one rests, or goes over it
[project choice]. Without such an end, slowing down makes one arrive late, and the drift slows one more."""

HOLD_ROUNDS = 2
"""Times arrival and speed are worked out in turn, drift being a matter of when one arrives."""

MOST_MARGIN = 0.25
"""Largest share of the band's width kept clear of its upper edge [project choice]."""


@dataclass(frozen=True)
class Conditions:
    """What is known of the day.

    Attributes
    ----------
    load_kg : carried until ``load_until_m`` along the way, or throughout where that is None.
    hours_out : hours already on the way before the start; the heart has drifted that long.
    temperature_c : of the air; None = unknown, taken as mild.
    """

    load_kg: float = 0.0
    load_until_m: float | None = None
    hours_out: float = 0.0
    temperature_c: float | None = None

    @property
    def heat_factor(self) -> float:
        """Factor of the heart rate for warm air."""
        if self.temperature_c is None:
            return 1.0
        return 1.0 + HEAT_PER_C * (min(max(self.temperature_c, HEAT_FROM_C), HEAT_TO_C) - HEAT_FROM_C)

    def load_at(self, distance_m: Array) -> Array:
        until = np.inf if self.load_until_m is None else self.load_until_m
        return np.where(distance_m < until, self.load_kg, 0.0)


@dataclass(frozen=True, eq=False)
class Draws:
    """What differs from run to run (m runs): the same for both strategies, so that they differ by choice.

    ``stops_per_h`` and ``stop_s`` are those of the earlier outings, drawn from again on each way.
    """

    coefficients: Array
    tau_s: Array
    log_mps: Array
    extra_w_per_kg: Array
    stops_per_h: float
    stop_s: Array
    wander_bpm2: Array
    rest_wander_bpm2: Array
    seed: int


def draw(
    ground: Ground,
    response: PooledResponse,
    speed: PooledSpeed,
    outings: Sequence[Evidence],
    runs: int = RUNS,
    seed: int = SEED,
) -> Draws:
    """Draw what differs from run to run over a way."""
    rng = np.random.default_rng(seed)
    coefficients, tau = response.draw(runs, rng)
    stop_s = np.concatenate([np.zeros(0), *(one.stops_s for one in outings)])
    hours = sum(one.moving_s for one in outings) / 3600.0
    usual = ground.step_m / np.exp(np.interp(ground.grade, GRADES, speed.log_mps))
    minutes = np.bincount(grade_bin(ground.grade), usual, minlength=GRADES.size) / 60.0
    return Draws(
        coefficients=coefficients,
        tau_s=tau,
        log_mps=speed.draw(runs, minutes, rng),
        extra_w_per_kg=speed.extra_work_w_per_kg,
        stops_per_h=stop_s.size / hours if hours > 0.0 else 0.0,
        stop_s=stop_s,
        wander_bpm2=response.wander_bpm2,
        rest_wander_bpm2=response.rest_wander_bpm2,
        seed=seed + 1,
    )


@dataclass(frozen=True, eq=False)
class Runs:
    """m simulated outings over n steps of ground, the heart rate on k even steps of time.

    Attributes
    ----------
    reach_s, leave_s : (m, n + 1) when each end of a step is reached, and left after a stop there.
    speed_mps, held : (m, n) speed, and whether it was lowered to keep the heart rate down.
    hr_bpm, place_m : (m, k) every ``TIME_STEP_S``; NaN after the end.
    """

    reach_s: Array
    leave_s: Array
    speed_mps: Array
    held: np.ndarray
    hr_bpm: Array
    place_m: Array

    @property
    def total_s(self) -> Array:
        return np.asarray(self.reach_s[:, -1])

    @property
    def lasts_s(self) -> Array:
        """(m, k) seconds each time step counts for."""
        left = self.total_s[:, None] - TIME_STEP_S * np.arange(self.hr_bpm.shape[1])
        return np.clip(left, 0.0, TIME_STEP_S)


def simulate(
    ground: Ground, going: Going, draws: Draws, conditions: Conditions, hold_bpm: float | None = None
) -> Runs:
    """Simulate every run; with ``hold_bpm`` the speed is kept where the heart settles no higher.

    Holding steers by the heart rate of the day: each run keeps to its own response.
    """
    rng = np.random.default_rng(draws.seed)
    load = conditions.load_at(ground.middle_m)
    extra = np.interp(ground.grade, GRADES, draws.extra_w_per_kg)
    usual = _usual_speed(ground, going, draws, load)
    stops = _stops(ground, usual, draws, rng)
    speed, held = usual, np.zeros(usual.shape, dtype=bool)
    if hold_bpm is not None:
        for _ in range(HOLD_ROUNDS):
            reach = _reach(ground, speed, stops)[0]
            wanted = heart_budget(hold_bpm, draws, conditions, 0.5 * (reach[:, 1:] + reach[:, :-1]))
            most = speed_at_bpm(going, draws.coefficients, wanted, ground.grade, load, extra)
            speed, held = np.clip(most, LEAST_SHARE * usual, usual), most < usual
    reach, leave = _reach(ground, speed, stops)
    work = np.maximum(going.work_w_per_kg(speed, ground.grade, load) + extra, 0.0)
    hr, place, slow = _heart(ground, going, draws, conditions, reach, leave, work, speed * ground.grade, held)
    hr += _wander(draws, slow, rng)
    hr[TIME_STEP_S * np.arange(hr.shape[1]) >= reach[:, -1:]] = np.nan
    return Runs(reach, leave, speed, held, hr, place)


def heart_budget(hold_bpm: float, draws: Draws, conditions: Conditions, at_s: Array) -> Array:
    """Heart rate left for rest and work once heat and drift have had their share."""
    drift = draws.coefficients[:, 1:2] * (at_s + 3600.0 * conditions.hours_out)
    return np.asarray(hold_bpm / conditions.heat_factor - drift)


def _usual_speed(ground: Ground, going: Going, draws: Draws, load: Array) -> Array:
    place = np.clip((ground.grade - GRADES[0]) / (GRADES[1] - GRADES[0]), 0, GRADES.size - 1.001)
    low = place.astype(int)
    share = place - low
    slowest, fastest = SLOWEST_MPS[going.on_bike], FASTEST_MPS[going.on_bike]
    speed = np.empty((draws.log_mps.shape[0], ground.grade.size))
    for load_kg in np.unique(load):
        by_grade = np.clip(np.exp(draws.log_mps), slowest, fastest)
        if load_kg > 0.0:
            by_grade = going.with_load(by_grade, GRADES, np.full(GRADES.shape, load_kg))
        here = load == load_kg
        below, above = by_grade[:, low[here]], by_grade[:, low[here] + 1]
        speed[:, here] = below * (above / below) ** share[here]
    return speed


def _stops(ground: Ground, speed: Array, draws: Draws, rng: np.random.Generator) -> Array:
    """(m, n) seconds of standing at the end of each step."""
    stops = np.zeros(speed.shape)
    if draws.stop_s.size == 0:
        return stops
    hours = np.sum(ground.step_m / speed, axis=1) / 3600.0
    count = rng.poisson(draws.stops_per_h * hours)
    run = np.repeat(np.arange(count.size), count)
    np.add.at(stops, (run, rng.integers(0, speed.shape[1], run.size)), rng.choice(draws.stop_s, run.size))
    return stops


def _reach(ground: Ground, speed: Array, stops: Array) -> tuple[Array, Array]:
    zero = np.zeros((speed.shape[0], 1))
    moving = np.cumsum(ground.step_m / speed, axis=1)
    standing = np.cumsum(stops, axis=1)
    reach = np.hstack([zero, moving + standing - stops])
    return reach, np.hstack([zero, moving + standing])


def _heart(
    ground: Ground,
    going: Going,
    draws: Draws,
    conditions: Conditions,
    reach: Array,
    leave: Array,
    work: Array,
    rise: Array,
    held: np.ndarray,
) -> tuple[Array, Array, np.ndarray]:
    """Heart rate without its wander, place, and whether the speed is held, on even steps of time."""
    t = TIME_STEP_S * np.arange(int(np.ceil(reach[:, -1].max() / TIME_STEP_S)) + 1)
    hr, place = (np.empty((reach.shape[0], t.size)) for _ in range(2))
    slow = np.zeros(hr.shape, dtype=bool)
    last = work.shape[1] - 1
    for m, (rest, drift, gain, up, down) in enumerate(draws.coefficients):
        knots = np.column_stack([reach[m], leave[m]]).ravel()
        position = np.searchsorted(knots, t, side="right")
        step = np.minimum((position - 1) // 2, last)
        moving = position % 2 == 0
        place[m] = np.interp(t, knots, np.repeat(ground.distance_m, 2))
        answer = gain * np.where(moving, work[m, step], going.standing_w_per_kg)
        climb = np.where(moving, rise[m, step], 0.0)
        answer += up * np.maximum(climb, 0.0) + down * np.maximum(-climb, 0.0)
        start = gain * going.standing_w_per_kg
        lagged = lag_states(answer, TIME_STEP_S, float(draws.tau_s[m]), start)
        hr[m] = (rest + drift * (t + 3600.0 * conditions.hours_out) + lagged) * conditions.heat_factor
        slow[m] = held[m, step] & moving
    return hr, place, slow


def _wander(draws: Draws, held: np.ndarray, rng: np.random.Generator) -> Array:
    """Wander of the heart; who holds a heart rate evens out what the ground does not explain."""
    # scipy.signal is slow to load, so it waits for the first plan.
    from scipy.signal import lfilter

    usual, steered = np.zeros(held.shape), np.zeros(held.shape)
    for tau, free, rest in zip(WANDER_TAUS_S, draws.wander_bpm2, draws.rest_wander_bpm2, strict=True):
        if free <= 0.0 and rest <= 0.0:
            continue
        keep = np.exp(-TIME_STEP_S / tau)
        white = rng.standard_normal(held.shape)
        white[:, 1:] *= np.sqrt(1.0 - keep**2)
        unit = lfilter([1.0], [1.0, -keep], white, axis=1)
        usual += np.sqrt(free) * unit
        steered += np.sqrt(rest) * unit
    return np.where(held, steered, usual)
