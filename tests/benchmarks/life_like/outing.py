"""One outing: what was true at every second, and the recording a device made of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from chance import Array, Rng, wander
from going import go
from numpy.typing import NDArray
from people import STANDING_W_PER_KG, Person, draw_person
from scipy.ndimage import gaussian_filter1d
from worlds import STOP_AND_GO, World

from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import sample_table
from slopebeat.model.spans import Spans

SPORT = {"run": Sport.RUNNING, "hike": Sport.HIKING, "ride": Sport.MOUNTAIN_BIKING}
WARM_UP_S = 600.0
# Times an hour, and least and greatest length in seconds.
FAULTS = {"lost": (1.0, 5.0, 120.0), "low": (0.35, 30.0, 240.0), "stuck": (0.3, 30.0, 150.0)}


@dataclass(frozen=True, eq=False)
class Truth:
    """What nobody but the simulation knows, at every second (n,) from the start.

    Attributes
    ----------
    person : cost, kinetics (``answer``) and steady heart rate of a speed on a grade.
    speed_mps, grade, work : while standing no speed and the cost of standing.
    standing : stops and pauses. drift_bpm : course of the drift, 0 at the start.
    heart_bpm : work, drift and the heart's own wander; no sensor. slow_error_bpm : that wander.
    wrong : heart rate the sensor got wrong or not at all. paused : the timer was off.
    """

    person: Person
    speed_mps: Array
    grade: Array
    work: Array
    standing: NDArray[np.bool_]
    drift_bpm: Array
    slow_error_bpm: Array
    heart_bpm: Array
    wrong: NDArray[np.bool_]
    paused: NDArray[np.bool_]

    @property
    def t_s(self) -> Array:
        return np.arange(self.work.size, dtype=float)

    @property
    def answered_bpm(self) -> Array:
        """Heart rate that work alone makes."""
        return self.heart_bpm - self.drift_bpm - self.slow_error_bpm

    @property
    def halves(self) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
        """Seconds of moving with a right heart rate after the warm-up, cut in two."""
        used = np.flatnonzero(~self.standing & ~self.wrong & (self.t_s >= WARM_UP_S))
        first, second = np.array_split(used, 2)
        return first, second

    @property
    def decoupling_percent(self) -> float:
        """Row 3's definition with what is true: the same mean work, early and late."""
        first, second = self.halves
        level = float(self.answered_bpm[np.concatenate([first, second])].mean())
        early, late = (level + float(self.drift_bpm[half].mean()) for half in (first, second))
        return 100.0 * (1.0 - early / late)

    @property
    def drift_bpm_per_h(self) -> float:
        """The drift's mean rate between the halves."""
        first, second = self.halves
        rise = self.drift_bpm[second].mean() - self.drift_bpm[first].mean()
        return float(3600.0 * rise / (self.t_s[second].mean() - self.t_s[first].mean()))


def simulate(rng: Rng, sport: str, terrain: str, world: World) -> tuple[Truth, Recording]:
    """Somebody goes out for one and a half to three and a half hours."""
    person = draw_person(rng, sport, world)
    seconds = int(rng.uniform(1.5, 3.5) * 3600)
    standing, paused = _rests(rng, seconds, terrain)
    moving = ~standing
    gone = go(rng, person, world, terrain, int(moving.sum()))
    when = np.maximum(np.cumsum(moving) - 1, 0)
    speed = np.where(standing, 0.0, gone.speed_mps[when])
    work = np.where(standing, STANDING_W_PER_KG[sport], gone.work[when])
    drift = _drift(rng, seconds, world)
    own = wander(rng, seconds, world.lasting_bpm * rng.uniform(0.5, 1.5), rng.uniform(300.0, 2400.0))
    own = own + wander(rng, seconds, rng.uniform(1.0, 3.0), rng.uniform(20.0, 90.0))
    heart = person.answer(work) + drift + own
    seen, wrong = _sensor(rng, heart)
    truth = Truth(person, speed, gone.grade[when], work, standing, drift, own, heart, wrong, paused)
    return truth, _record(rng, truth, seen)


def _rests(rng: Rng, seconds: int, terrain: str) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    standing, paused = np.zeros(seconds, bool), np.zeros(seconds, bool)
    often = 500.0 if terrain == STOP_AND_GO else 2400.0
    for _ in range(rng.poisson(seconds / often)):
        start = rng.integers(60, seconds - 900)
        length = int(rng.uniform(15, 90 if terrain == STOP_AND_GO else 300))
        standing[start : start + length] = True
    if rng.random() < 0.4:
        start, length = rng.integers(1200, seconds - 1500), int(rng.uniform(120, 900))
        paused[start : start + length] = True
    return standing | paused, paused


def _drift(rng: Rng, seconds: int, world: World) -> Array:
    """A rise of 4 (2.8) bpm/h on the mean, seldom a fall, that soon levels off, sets in late, or bends."""
    share = np.arange(seconds) / seconds
    total = (rng.gamma(2.0, 2.0) if rng.random() < 0.9 else rng.uniform(-2.0, 0.0)) * seconds / 3600.0
    shapes = [share, (1.0 - np.exp(-3.0 * share)) / (1.0 - np.exp(-3.0)), share**2]
    bent = shapes[rng.integers(len(shapes))] * rng.uniform(0.0, world.bend)
    turn = rng.uniform(0.25, 0.75)
    late = np.maximum(share - turn, 0.0) / (1.0 - turn)
    mix = rng.uniform(0.0, 0.5) * world.bend
    course = bent + share - share * bent[-1]
    return np.asarray(total * ((1.0 - mix) * course + mix * late))


def _sensor(rng: Rng, heart: Array) -> tuple[Array, NDArray[np.bool_]]:
    """What the sensor shows: drop-outs, stretches read low, stretches that stand still."""
    n = heart.size
    seen = heart + wander(rng, n, 0.8, 8.0)
    wrong = np.zeros(n, bool)
    for kind, (per_hour, shortest, longest) in FAULTS.items():
        for _ in range(rng.poisson(per_hour * n / 3600.0)):
            start = int(rng.integers(0, n))
            part = slice(start, start + int(rng.uniform(shortest, longest)))
            wrong[part] = True
            if kind == "low":
                seen[part] -= rng.uniform(8.0, 45.0)
            else:
                seen[part] = np.nan if kind == "lost" else seen[start]
    return np.round(seen), wrong


def _record(rng: Rng, truth: Truth, seen: Array) -> Recording:
    n = truth.work.size
    height = 900.0 + np.cumsum(truth.speed_mps * truth.grade)
    gusts = wander(rng, n, 0.3, 20.0) + rng.normal(0.0, 0.1, n)
    weather = gaussian_filter1d(wander(rng, n, 2.5, 1800.0), 120.0)
    speed = np.maximum(truth.speed_mps + wander(rng, n, 0.12, 6.0), 0.0)
    speed = np.where(truth.standing, 0.0, speed)
    kept = ~truth.paused
    columns = {
        "t_s": truth.t_s,
        "hr_bpm": seen,
        "elevation_m": np.round((height + gusts + weather) * 5.0) / 5.0,
        "distance_m": np.cumsum(speed),
        "speed_mps": speed,
    }
    pauses = Spans.from_mask(truth.t_s, truth.paused) if truth.paused.any() else Spans.empty()
    return Recording(
        sample_table({name: column[kept] for name, column in columns.items()}),
        datetime(2026, 6, 1, 8, 0, tzinfo=UTC),
        SPORT[truth.person.sport],
        pauses=pauses,
    )
