"""Why a stretch is doubted, in words with their numbers."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.activity import Activity
from slopebeat.model.language import tr, trn
from slopebeat.model.marks import Mark, Reason
from slopebeat.model.outing.records import covers
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name

BY_EARLIER = (Reason.BELOW_EARLIER, Reason.ABOVE_EARLIER)
"""Doubts that need the athlete's earlier outings."""


def doubt_words(review: Review, mark: Mark) -> str:
    """Why a stretch is doubted: ``22 bpm below what your last 12 runs foretell at this work, for 4 min``."""
    off = _off_bpm(review, mark)
    if mark.reason not in BY_EARLIER or off is None or review.predicted is None:
        return key_name(mark.reason)
    if mark.reason is Reason.BELOW_EARLIER:
        words = tr("{off} bpm below what your last {outings} foretell at this work, for {minutes} min")
    else:
        words = tr("{off} bpm above what your last {outings} foretell at this work, for {minutes} min")
    minutes = max(round((mark.end_s - mark.start_s) / 60.0), 1)
    return words.format(
        off=abs(round(off)), outings=_outings(review, review.predicted.outings), minutes=minutes
    )


def _outings(review: Review, n: int) -> str:
    kind = review.recognised.kind
    if kind is Activity.RUN:
        return trn("{n} run", "{n} runs", n).format(n=n)
    if kind is Activity.RIDE:
        return trn("{n} ride", "{n} rides", n).format(n=n)
    return trn("{n} walk", "{n} walks", n).format(n=n)


def _off_bpm(review: Review, mark: Mark) -> float | None:
    """Mean heart rate recorded in a stretch less what is foretold there."""
    if review.predicted is None:
        return None
    here = covers(mark, review.track.t_s)
    off = (review.recording.samples["hr_bpm"] - review.predicted.hr_bpm)[here]
    return float(np.nanmean(off)) if np.isfinite(off).any() else None
