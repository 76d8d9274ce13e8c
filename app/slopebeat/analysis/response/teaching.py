"""Which outings teach what is to be expected of later ones, and why the others do not."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from slopebeat.model.evidence import MIXED, MODELLED, POWER, RIDE, RUN, WALK, OutingEvidence
from slopebeat.model.track import LEAST_COVERAGE, Track

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
