"""Outings whose heart rate follows known slopes, and what they teach, for tests that know the truth."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from helpers.recordings import track
from slopebeat.analysis.response.grid import DELAY_STEPS, TAU_S, make_grid
from slopebeat.analysis.response.lag import lag_means
from slopebeat.analysis.response.teaching import input_sums
from slopebeat.analysis.response.work_rate import work_rate_w_per_kg
from slopebeat.model.evidence import MODELLED, RUN, WALK, FitEvidence, OutingEvidence
from slopebeat.model.track import Array, Track

FIRST_DAY = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)


def hilly_walk(
    seed: int,
    minutes: float = 70.0,
    level: float = 60.0,
    per_w_kg: float = 9.0,
    drift_bpm_per_h: float = 3.0,
    noise_bpm: float = 2.0,
) -> tuple[Track, Array]:
    """A walk over hills with its work rate; heart rate = level + work lagged 45 s after 10 s + drift."""
    rng = np.random.default_rng(seed)
    t = np.arange(0.0, 60.0 * minutes)
    phase = rng.uniform(0.0, 6.0, 3)
    grade = sum(
        0.04 * np.sin(2.0 * np.pi * t / p + f) for p, f in zip((500.0, 900.0, 1700.0), phase, strict=True)
    )
    going = track(t, grade=grade, speed=1.3 - 1.5 * np.abs(grade))
    work = work_rate_w_per_kg(going, 75.0)
    steps = work.reshape(-1, 5).mean(axis=1)
    answered = np.concatenate([np.repeat(steps[:1], DELAY_STEPS), lag_means(steps, 5.0, TAU_S)])[: steps.size]
    wander = np.repeat(np.cumsum(rng.normal(0.0, 1.0, t.size // 30 + 1)) * 0.1, 30)[: t.size]
    hr = level + per_w_kg * np.repeat(answered, 5) + drift_bpm_per_h * t / 3600.0 + noise_bpm * wander
    return replace(going, hr_bpm=hr), work


def taught(day: float, walk: tuple[Track, Array], kind: str = WALK, **figures: Any) -> OutingEvidence:
    """What such a walk teaches, ``day`` days after the first."""
    going, work = walk
    seconds = float(going.recorded_s.sum())
    made = OutingEvidence(
        start_utc=FIRST_DAY + timedelta(days=day),
        kind=kind,
        sport="running" if kind == RUN else "hiking",
        on_bike=False,
        work_source=MODELLED,
        device="",
        coverage=1.0,
        recorded_s=seconds,
        moving_s=seconds,
        trusted_s=seconds,
        mean_work_w_per_kg=float(work.mean()),
        work_variation=0.3,
        mean_hr_bpm=float(going.hr_bpm.mean()),
        hr_sd_bpm=float(going.hr_bpm.std()),
        load_kg=0.0,
        temperature_c=None,
        fit=None,
        sums=input_sums(make_grid(going, work), on_bike=False),
    )
    return replace(made, **figures)


_WALK = hilly_walk(1)


def an_outing(week: float, level: float, rng: np.random.Generator, **figures: Any) -> OutingEvidence:
    """An outing whose own fit reads a level of the usual work, give or take two beats."""
    work = float(10.0 + rng.normal(0.0, 1.0))
    truth = np.array([level + 8.0 * (work - 10.0), 3.0 + rng.normal(0.0, 2.0), 8.0, 10.0, 2.0])
    sd = np.array([2.0, 2.5, 0.8, 20.0, 20.0])
    centre = np.array([work, 0.05, 0.05])
    fit = FitEvidence(
        truth + sd * rng.normal(0.0, 0.5, 5), np.diag(sd**2), 1.0, centre, 55.0, 3.0, 4000.0, True
    )
    made = taught(7.0 * week, _WALK, RUN, fit=fit)
    return replace(made, **figures)
