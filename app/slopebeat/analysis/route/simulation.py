"""Many simulated outings over one way: when each place is reached, and what the heart does.

Every run draws its own response, speed by grade, stops and wander of the heart from what earlier outings
taught (Monte Carlo, seeded): the spread of the runs is the interval of the plan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.lag import lag_states
from slopebeat.analysis.response.pooled import WANDER_TAUS_S
from slopebeat.analysis.route.draws import Draws
from slopebeat.analysis.route.holding import speed_at_bpm
from slopebeat.analysis.route.profile import Ground
from slopebeat.analysis.route.work import FASTEST_MPS, SLOWEST_MPS, Going
from slopebeat.model.past import GRADES
from slopebeat.model.track import Array

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

TIRED_ROUNDS = 2
"""The same for tiredness."""

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
    ground: Ground,
    going: Going,
    draws: Draws,
    conditions: Conditions,
    hold_bpm: float | None = None,
    told: Callable[[float], None] | None = None,
) -> Runs:
    """Simulate every run; with ``hold_bpm`` the speed is kept where the heart settles no higher.

    Holding steers by the heart rate of the day: each run keeps to its own response. ``told`` is called with
    the share done; what it raises stops the work.
    """
    tell = told or _nobody
    rng = np.random.default_rng(draws.seed)
    load = conditions.load_at(ground.middle_m)
    extra = np.interp(ground.grade, GRADES, draws.extra_w_per_kg)
    usual = _usual_speed(ground, going, draws, load)
    stops = _stops(ground, usual, draws, rng)
    usual = _tired(ground, going, draws, conditions, usual, stops)
    tell(0.1)
    speed, held = usual, np.zeros(usual.shape, dtype=bool)
    if hold_bpm is not None:
        for done in range(HOLD_ROUNDS):
            reach = _reach(ground, speed, stops)[0]
            wanted = heart_budget(hold_bpm, draws, conditions, 0.5 * (reach[:, 1:] + reach[:, :-1]))
            part = Part(tell, 0.1 + 0.3 * done, 0.4 + 0.3 * done)
            most = speed_at_bpm(going, draws.coefficients, wanted, ground.grade, load, extra, part)
            speed, held = np.clip(most, LEAST_SHARE * usual, usual), most < usual
    reach, leave = _reach(ground, speed, stops)
    work = np.maximum(going.work_w_per_kg(speed, ground.grade, load) + extra, 0.0)
    hr, place, slow = _heart(ground, going, draws, conditions, reach, leave, work, speed * ground.grade, held)
    tell(0.85)
    hr += _wander(draws, slow, rng)
    hr[TIME_STEP_S * np.arange(hr.shape[1]) >= reach[:, -1:]] = np.nan
    tell(1.0)
    return Runs(reach, leave, speed, held, hr, place)


def _nobody(share: float) -> None:
    """Nobody is told."""


@dataclass(frozen=True)
class Part:
    """Tells of a part of longer work: its share done is turned into one of the whole."""

    told: Callable[[float], None]
    first: float
    last: float

    def __call__(self, share: float) -> None:
        self.told(self.first + share * (self.last - self.first))


def _tired(
    ground: Ground, going: Going, draws: Draws, conditions: Conditions, speed: Array, stops: Array
) -> Array:
    """The speed with the slowing down of each run; time into the outing counts hours already out."""
    if draws.slowing_per_s is None:
        return speed
    tired = speed
    for _ in range(TIRED_ROUNDS):
        reach = _reach(ground, tired, stops)[0]
        at = 0.5 * (reach[:, 1:] + reach[:, :-1]) + 3600.0 * conditions.hours_out
        tired = speed * draws.tiring.factor(draws.slowing_per_s, at, ground.grade)
    return np.clip(tired, SLOWEST_MPS[going.on_bike], FASTEST_MPS[going.on_bike])


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
