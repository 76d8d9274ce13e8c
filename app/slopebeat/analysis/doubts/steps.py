"""Heart rate, work and step rate of one outing on even steps, as the rules on doubts read them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.grid import STEP_S, Grid
from slopebeat.analysis.response.lag import held_integral
from slopebeat.model.numerics import running_median, true_runs
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track

Mask = np.ndarray
"""(m,) whether something holds on each step."""

START_S = 180.0
"""The first minutes, and those after a rest, are not judged [project choice]."""

REST_S = 120.0
"""A pause or gap of this length is a rest [project choice]."""

GENTLE_MPS = 0.18
"""Lagged climbing and sinking together, 650 m/h, beyond which one line says little [project choice]."""

GOING_STEPS, GOING_SHARE = 12, 0.74
"""Going means moving in nine of the last twelve steps, a minute [project choice]."""


@dataclass(frozen=True, eq=False)
class OutingSteps:
    """(m,) arrays on steps of ``STEP_S`` from the first record, NaN where unknown.

    Attributes
    ----------
    inputs : (m, 5) lagged inputs, see :data:`slopebeat.model.evidence.INPUT_NAMES`. work : without lag.
    change_bpm_per_s : mean absolute change of heart rate from record to record.
    """

    hr_bpm: Array
    recorded_s: Array
    moving_s: Array
    inputs: Array
    work: Array
    steps_per_min: Array
    change_bpm_per_s: Array
    on_bike: bool

    @property
    def t_s(self) -> Array:
        return STEP_S * (np.arange(self.hr_bpm.size, dtype=np.float64) + 0.5)

    @property
    def live(self) -> Mask:
        return np.isfinite(self.hr_bpm) & (self.recorded_s > 0.0)

    @property
    def gentle(self) -> Mask:
        return np.asarray(self.inputs[:, 1] + self.inputs[:, 2] < GENTLE_MPS)

    @property
    def going(self) -> Mask:
        moving = (self.moving_s > 0.5 * np.maximum(self.recorded_s, 0.1)).astype(float)
        total = np.concatenate((np.zeros(GOING_STEPS), np.cumsum(moving)))
        return np.asarray((total[GOING_STEPS:] - total[:-GOING_STEPS]) / GOING_STEPS > GOING_SHARE)

    @property
    def settled(self) -> Mask:
        """Long enough after the start and after every rest."""
        rest = lasting(self.recorded_s <= 0.0, REST_S)
        at = np.arange(rest.size)
        ended = np.flatnonzero(np.diff(rest.astype(int), prepend=0) == -1)
        last = np.zeros(rest.size, dtype=int)
        last[ended] = ended
        since = at - np.maximum.accumulate(last)
        return np.asarray(since * STEP_S > START_S)


def outing_steps(track: Track, grid: Grid, step_rate_per_min: Array) -> OutingSteps:
    """Put an outing on even steps.

    Parameters
    ----------
    grid : the track and its work rate on these steps. step_rate_per_min : (n,) NaN where unknown.
    """
    edges = STEP_S * np.arange(grid.inputs.shape[0] + 1, dtype=float)
    change = np.abs(np.diff(track.hr_bpm, prepend=np.nan)) / np.maximum(np.diff(track.t_s, prepend=-1.0), 1.0)

    def mean(values: Array) -> Array:
        known = np.isfinite(values)
        if not known.any():
            return np.full(edges.size - 1, np.nan)
        seconds = held_integral(track.t_s, track.recorded_s, known.astype(float), edges)
        total = held_integral(track.t_s, track.recorded_s, np.where(known, values, 0.0), edges)
        return np.asarray(np.divide(total, seconds, out=np.full_like(total, np.nan), where=seconds > 1e-6))

    def seconds(mask: Mask) -> Array:
        return held_integral(track.t_s, track.recorded_s, mask.astype(float), edges)

    recorded = seconds(np.ones(len(track), dtype=bool))
    return OutingSteps(
        hr_bpm=mean(track.hr_bpm),
        recorded_s=np.where(recorded > 1e-6, recorded, 0.0),
        moving_s=seconds(track.moving),
        inputs=grid.lagged,
        work=grid.inputs[:, 0],
        steps_per_min=mean(step_rate_per_min),
        change_bpm_per_s=mean(change),
        on_bike=track.on_bike,
    )


def lasting(mask: Mask, least_s: float, bridged_s: float = 0.0) -> Mask:
    """The mask with short breaks filled, then without what is too short."""
    out = np.asarray(mask, dtype=bool).copy()
    if bridged_s > 0.0:
        for first, last in true_runs(~out):
            if first > 0 and last < out.size and (last - first) * STEP_S <= bridged_s:
                out[first:last] = True
    for first, last in true_runs(out):
        if (last - first) * STEP_S < least_s:
            out[first:last] = False
    return out


def filled(values: Array, size: int = 13) -> Array:
    """Running median over ``size`` steps, straight lines across what is unknown; else zeros."""
    known = np.flatnonzero(np.isfinite(values))
    if known.size < 2:
        return np.zeros(values.size)
    return running_median(np.interp(np.arange(values.size), known, values[known]), size)


def spans_of(mask: Mask) -> Spans:
    """The steps of a mask as spans of seconds."""
    return Spans.from_pairs((first * STEP_S, last * STEP_S) for first, last in true_runs(mask))
