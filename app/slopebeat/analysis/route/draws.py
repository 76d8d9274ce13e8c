"""What differs from one simulated outing to the next, drawn from what earlier outings taught."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.past import grade_bin
from slopebeat.analysis.response.pooled import PooledResponse
from slopebeat.analysis.route.evidence import Evidence
from slopebeat.analysis.route.profile import Ground
from slopebeat.analysis.route.speed import PooledSpeed
from slopebeat.analysis.route.tiring import FRESH, Tiring
from slopebeat.model.past import GRADES
from slopebeat.model.track import Array

RUNS = 400
"""Simulated outings: an 80 % interval then has a standard error of 2 points [project choice]."""

SEED = 20260711
"""One plan asked for twice gives one answer."""


@dataclass(frozen=True, eq=False)
class Draws:
    """What differs from run to run (m runs): the same for both strategies, so that they differ by choice.

    ``stops_per_h`` and ``stop_s`` are those of the earlier outings, drawn from again on each way.
    ``slowing_per_s`` is the change of log speed per second of each run; none of it where it is None.
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
    tiring: Tiring = FRESH
    slowing_per_s: Array | None = None


def draw(
    ground: Ground,
    response: PooledResponse,
    speed: PooledSpeed,
    outings: Sequence[Evidence],
    runs: int = RUNS,
    seed: int = SEED,
    tiring: Tiring = FRESH,
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
        tiring=tiring,
        # Draws of its own, so that all others are the same with and without it.
        slowing_per_s=None if tiring is FRESH else tiring.draw(runs, np.random.default_rng(seed + 2)),
    )
