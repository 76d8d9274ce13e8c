"""Speeds to hold against the speed whose true steady heart rate is the band's edge."""

from __future__ import annotations

import numpy as np
from outing import Truth

from slopebeat.review.outing import Review

SEARCHED_MPS = np.linspace(0.05, 18.0, 1800)


def ceiling_rows(truth: Truth, review: Review) -> list[tuple[float, float]]:
    """For each grade with a speed: 1 or 0 whether its interval holds, and the error of the speed, %.

    An open side of an interval reaches to nothing or to any speed. The error is NaN where no speed reaches
    the edge.
    """
    found, band = review.ceiling, review.aim.band
    if found is None or band is None:
        return []
    drift = float(truth.drift_bpm[min(int(found.at_s), truth.drift_bpm.size - 1)])
    rows = []
    for at in np.flatnonzero(np.isfinite(found.speed_mps)):
        grades = np.full(SEARCHED_MPS.size, found.grade[at])
        steady = np.maximum.accumulate(truth.person.steady_bpm(SEARCHED_MPS, grades)) + drift
        over = np.flatnonzero(steady >= band.upper_bpm)
        true = float(SEARCHED_MPS[over[0]]) if over.size else np.inf
        low = np.nan_to_num(found.low_mps[at], nan=0.0)
        high = np.nan_to_num(found.high_mps[at], nan=np.inf)
        off = 100.0 * (found.speed_mps[at] / true - 1.0) if np.isfinite(true) else np.nan
        rows.append((float(low <= true <= high), float(off)))
    return rows
