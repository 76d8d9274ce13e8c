"""Which outings teach what is to be expected of later ones, and why the others do not.

What an outing teaches is lagged inputs and heart rate, summed up for fitting many outings together.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from slopebeat.analysis.response.grid import LEAST_BINS, Grid
from slopebeat.analysis.response.priors import STANDING_BPM
from slopebeat.analysis.response.work_rate import STANDING_W
from slopebeat.model.evidence import MIXED, MODELLED, POWER, RIDE, RUN, WALK, InputSums, OutingEvidence
from slopebeat.model.numerics import median, quantile
from slopebeat.model.track import LEAST_COVERAGE, Array, Track

LEAST_TEACHING_S = 20 * 60.0
"""Moving with trusted heart rate and a work rate, under which an outing teaches nothing [project choice]."""

GROUPS = {RIDE: RIDE, RUN: RUN, WALK: WALK, MIXED: WALK}
"""Outings of one group teach one another; who walks as much as he runs goes as hikers do. What is not
here - skiing, swimming, strength, lifts, electric bicycles - has no work rate of the athlete's own."""


class NotTeaching(StrEnum):
    """Key of why an outing teaches nothing."""

    LEFT_OUT = "left_out"
    NO_WORK = "no_work"
    LITTLE_HEART_RATE = "little_heart_rate"
    TOO_SHORT = "too_short"


def group_of(evidence: OutingEvidence) -> str | None:
    """Key of the outings it teaches and learns from; None where there is no work rate."""
    return GROUPS.get(evidence.kind)


def why_not(
    evidence: OutingEvidence, chosen: bool = True, least_s: float = LEAST_TEACHING_S
) -> NotTeaching | None:
    """Why an outing teaches nothing; None where it does.

    Parameters
    ----------
    chosen : False where the user has left it out of what is learnt.
    """
    if not chosen:
        return NotTeaching.LEFT_OUT
    if group_of(evidence) is None or evidence.work_source is None:
        return NotTeaching.NO_WORK
    if evidence.coverage < LEAST_COVERAGE:
        return NotTeaching.LITTLE_HEART_RATE
    if evidence.trusted_s < least_s or evidence.sums is None:
        return NotTeaching.TOO_SHORT
    return None


def work_source(track: Track) -> str | None:
    """Where the work rate of a track comes from: :data:`POWER`, else :data:`MODELLED`; None without any."""
    moving = track.moving_s
    if track.on_bike and float(moving[np.isfinite(track.power_w)].sum()) > 0.5 * float(moving.sum()):
        return POWER
    return MODELLED if np.isfinite(track.speed_mps).any() else None


LIMIT_SDS, LEAST_LIMIT_BPM = 2.0, 6.0
"""Half-minutes further off the outing's own line than both weigh less, by Huber 1964 [project choice]."""


def input_sums(grid: Grid, on_bike: bool) -> InputSums | None:
    """Sums of one outing; None where too few half-minutes hold heart rate and work."""
    if grid.kept_bins.size < LEAST_BINS:
        return None
    means = grid.binned(np.column_stack([grid.lagged, grid.hr_bpm]))
    inputs, hr = np.ascontiguousarray(means[:, :-1]), np.ascontiguousarray(means[:, -1])
    weight = _trust(inputs, hr, on_bike)
    rows = np.column_stack([np.ones_like(hr), inputs, hr])
    low, high = (np.array([quantile(each, share) for each in inputs.T]) for share in (0.005, 0.995))
    return InputSums((rows.T * weight) @ rows, low, high)


def _trust(inputs: Array, hr: Array, on_bike: bool) -> Array:
    """(n,) weights: one, less for half-minutes far off a line through standing and the outing's means."""
    centred, off = inputs - inputs.mean(axis=0), hr - hr.mean()
    usual = max((hr.mean() - STANDING_BPM) / max(inputs[:, 0].mean() - STANDING_W[on_bike], 0.5), 2.0)
    prior_mean = np.array([usual, 0.0, 0.0, 0.0, 3.0])
    prior_sd = np.array([0.5 * usual, 4.0 * usual, 4.0 * usual, 0.3 * usual, 6.0])
    weight = np.ones_like(hr)
    for _ in range(4):
        # Twenty half-minutes of one spell say about as much as one that stands alone.
        share = weight / (20.0 * 8.0**2)
        centred = inputs - weight @ inputs / weight.sum()
        off = hr - weight @ hr / weight.sum()
        precision = (centred.T * share) @ centred + np.diag(prior_sd**-2)
        line = np.linalg.solve(precision, (centred.T * share) @ off + prior_mean / prior_sd**2)
        left = np.abs(off - centred @ line)
        limit = max(LIMIT_SDS * 1.4826 * median(left), LEAST_LIMIT_BPM)
        weight = 1.0 / np.maximum(1.0, left / limit)
    return weight
