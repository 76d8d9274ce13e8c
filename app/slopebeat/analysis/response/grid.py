"""What enters the fit of the heart-rate response: seconds kept, seconds left out and why, uniform steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.lag import delayed, held_integral, lag_means
from slopebeat.analysis.response.priors import SLOW_S
from slopebeat.analysis.response.work_rate import STANDING_W
from slopebeat.model.track import Array, Track

STEP_S = 5.0  # grid the lag runs on [project choice]
BIN_STEPS = 6  # 30 s means are what is fitted: shorter than any time constant that matters [project choice]
LEAST_BIN_S = 10.0  # seconds a bin must hold to be fitted [project choice]
LEAST_BINS = 20  # half-minutes under which six coefficients are neither fitted nor summed up [project choice]
INTERRUPTION_S = 30.0  # an unseen stretch this long leaves the lag uncertain [project choice]
# and heart rate is not fitted for as long again, at most three time constants [project choice]: what is
# wrong after a short stretch is little, because ground and time on both sides of it are known.
MOST_BURN_IN_S = 180.0

WARM_UP_S = 600.0
"""Left out at the start of whatever tells early from late: drift at constant load starts after about 10 min
(Wingo 2012, doi:10.1097/JES.0b013e31824c43af)."""


TAU_S, DELAY_STEPS = 45.0, 2
"""Time constant and delay in steps of what outings are compared by; one alone is fitted about another. Of
constants of 20-100 s these predicted the heart rate of unseen outings best [project choice, measured on real
runs]."""


class TimeLeftOut(StrEnum):
    """Why recorded time enters no figure of decoupling."""

    WARM_UP = "warm_up"
    STOPS = "stops"
    NO_HEART_RATE = "no_heart_rate"
    NO_OUTPUT = "no_output"
    NO_WORK = "no_work"
    RESTART = "restart"
    SURPRISES = "surprises"


@dataclass(frozen=True, eq=False)
class Grid:
    """Inputs on uniform steps of ``STEP_S`` from the first record.

    Attributes
    ----------
    inputs : (m, 3) work rate W/kg, climbing speed m/s and sinking speed m/s; filled through stops, pauses
        (standing) and gaps (a straight line across), so that a lag can run through.
    fit_s : (m,) seconds of each step that enter the fit.
    hr_bpm : (m,) mean heart rate over those seconds, 0 where there are none.
    excluded_s : recorded seconds left out, by reason.
    """

    inputs: Array
    fit_s: Array
    hr_bpm: Array
    excluded_s: dict[TimeLeftOut, float]

    @property
    def middle_s(self) -> Array:
        return STEP_S * (np.arange(len(self.fit_s), dtype=np.float64) + 0.5)

    @cached_property
    def lagged(self) -> Array:
        """(m, 5) inputs of :data:`slopebeat.model.evidence.INPUT_NAMES`, made once: nobody may change it."""
        quick = delayed(lag_means(self.inputs, STEP_S, TAU_S), DELAY_STEPS)
        slow = delayed(lag_means(self.inputs[:, 0], STEP_S, SLOW_S), DELAY_STEPS)
        lagged = np.column_stack([quick, slow - quick[:, 0], self.middle_s / 3600.0])
        lagged.flags.writeable = False
        return lagged

    def binned(self, values: Array) -> Array:
        """Means over bins of ``BIN_STEPS`` steps, weighted by the seconds that enter; (bins, ...)."""
        return np.asarray(self.binned_late(values, (0,))[:, 0])

    def binned_late(self, values: Array, delays: Sequence[int]) -> Array:
        """(bins, delays, ...) the same of the values so many steps later; before them as the first."""
        most, count = max(delays), len(values)
        bins, beside = len(self._by_bin), (1,) * (values.ndim - 1)
        padded = np.zeros((most + bins * BIN_STEPS, *values.shape[1:]))
        padded[:most], padded[most : most + count] = values[:1], values
        found = np.zeros((bins, len(delays), *values.shape[1:]))
        part = np.empty((bins, *values.shape[1:]))
        for step, seconds in enumerate(self._by_bin.T):
            of_step = seconds.reshape(-1, *beside)
            for number, delay in enumerate(delays):
                late = padded[most - delay + step :: BIN_STEPS][:bins]
                found[:, number] += np.multiply(of_step, late, out=part)
        kept: Array = found[self.kept_bins]
        kept /= self.bin_seconds.reshape(-1, 1, *beside)
        return kept

    @cached_property
    def kept_bins(self) -> np.ndarray:
        """Indices of the bins with enough seconds to be fitted."""
        return np.flatnonzero(self._by_bin.sum(axis=1) >= LEAST_BIN_S)

    @cached_property
    def bin_seconds(self) -> Array:
        """(bins,) seconds that enter each kept bin."""
        return np.asarray(self._by_bin[self.kept_bins].sum(axis=1))

    @cached_property
    def _by_bin(self) -> Array:
        """(all bins, BIN_STEPS) the seconds that enter, the last bin filled up."""
        return np.pad(self.fit_s, (0, -len(self.fit_s) % BIN_STEPS)).reshape(-1, BIN_STEPS)

    def without(self, bins: np.ndarray, reason: TimeLeftOut) -> Grid:
        """The same grid with some bins (indices into ``kept_bins``) left out."""
        steps = np.zeros(len(self.fit_s), bool)
        for offset in range(BIN_STEPS):
            at = self.kept_bins[bins] * BIN_STEPS + offset
            steps[at[at < steps.size]] = True
        lost = float(self.fit_s[steps].sum())
        fit_s = np.where(steps, 0.0, self.fit_s)
        return Grid(self.inputs, fit_s, self.hr_bpm, {**self.excluded_s, reason: lost})


def make_grid(track: Track, work_w_per_kg: Array) -> Grid:
    """Put a track on the grid.

    Parameters
    ----------
    work_w_per_kg : (n,) work rate of each sample, standing cost while standing, NaN where unknown.
    """
    unknown, restart = ~np.isfinite(work_w_per_kg), _after_interruption(track, work_w_per_kg)
    left_out, excluded = time_left_out(track, {TimeLeftOut.NO_WORK: unknown, TimeLeftOut.RESTART: restart})
    last = track.t_s[-1] + track.recorded_s[-1] if len(track) else 0.0
    edges = STEP_S * np.arange(max(int(np.ceil(last / STEP_S)), 1) + 1, dtype=np.float64)
    fit_s = held_integral(track.t_s, track.recorded_s, np.where(left_out, 0.0, 1.0), edges)
    beats = held_integral(track.t_s, track.recorded_s, np.where(left_out, 0.0, track.hr_bpm), edges)
    hr = np.divide(beats, fit_s, out=np.zeros_like(beats), where=fit_s > 1e-6)
    return Grid(_inputs(track, work_w_per_kg, edges), np.where(fit_s > 1e-6, fit_s, 0.0), hr, excluded)


def _inputs(track: Track, work: Array, edges: Array) -> Array:
    """Mean work, climbing and sinking of each step."""
    vertical = np.where(track.moving & np.isfinite(track.vertical_speed_mps), track.vertical_speed_mps, 0.0)
    up, down = np.maximum(vertical, 0.0), np.maximum(-vertical, 0.0)
    columns = ((work, STANDING_W[track.on_bike]), (up, 0.0), (down, 0.0))
    return held_means(track, columns, np.isfinite(work), edges)


def held_means(
    track: Track, columns: Sequence[tuple[Array, float]], known: NDArray[np.bool_], edges: Array
) -> Array:
    """(m, c) means over the steps of values held until the next record, straight across what is unknown.

    Parameters
    ----------
    columns : (n,) values, each with what stands for it in pauses. known : (n,) where they count.
    edges : (m + 1,) of the steps, seconds.
    """
    seen = held_integral(track.t_s, track.recorded_s, known.astype(float), edges)
    paused = np.zeros(edges.size - 1)
    if track.pause_s.any():
        start = track.t_s + track.recorded_s
        paused = held_integral(start, track.pause_s, np.ones_like(start), edges)
    total = seen + paused
    middle = 0.5 * (edges[1:] + edges[:-1])
    filled = []
    for column, standing in columns:
        moved = held_integral(track.t_s, track.recorded_s, np.where(known, column, 0.0), edges)
        mean = np.divide(moved + standing * paused, total, out=np.zeros_like(total), where=total > 1e-6)
        has = total > 1e-6
        filled.append(np.interp(middle, middle[has], mean[has]) if has.any() else mean)
    return np.column_stack(filled)


def time_left_out(
    track: Track, checks: dict[TimeLeftOut, NDArray[np.bool_]]
) -> tuple[NDArray[np.bool_], dict[TimeLeftOut, float]]:
    """Samples (n,) left out, and their recorded seconds by the first reason that applies.

    Warming up, standing and missing heart rate are asked before the further ``checks``, (n,) each.
    """
    left_out = np.zeros(len(track), bool)
    excluded = {}
    usual = {
        TimeLeftOut.WARM_UP: track.t_s < WARM_UP_S,
        TimeLeftOut.STOPS: ~track.moving,
        TimeLeftOut.NO_HEART_RATE: ~np.isfinite(track.hr_bpm),
    }
    for reason, hit in {**usual, **checks}.items():
        excluded[reason] = float(track.recorded_s[hit & ~left_out].sum())
        left_out |= hit
    return left_out, excluded


def _after_interruption(track: Track, work: Array) -> np.ndarray:
    blind = track.pause_s + track.gap_s + np.where(np.isfinite(work), 0.0, track.recorded_s)
    total = np.cumsum(blind)
    # A sample whose work is known ends a run of unseen seconds; its own pause and gap begin the next one.
    before = np.maximum.accumulate(np.where(np.isfinite(work), total - blind, 0.0))
    unseen = total - before
    end = track.t_s + track.recorded_s + track.pause_s + track.gap_s
    until = np.where(unseen >= INTERRUPTION_S, end + np.minimum(unseen, MOST_BURN_IN_S), -np.inf)
    return np.asarray(track.t_s < np.concatenate([[-np.inf], np.maximum.accumulate(until)[:-1]]))
