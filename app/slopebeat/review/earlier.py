"""What the outings before one say: of the next, and of which heart rate to doubt, with the words for that."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from slopebeat.analysis.activity import Activity
from slopebeat.analysis.doubts.heart_rate import doubts_by_earlier
from slopebeat.analysis.doubts.steps import outing_steps, spans_of
from slopebeat.analysis.price.next_outing import NOTHING_KNOWN, Foretelling, foretelling_of
from slopebeat.analysis.response.prediction import EarlierFits, learn, predict
from slopebeat.analysis.response.teaching import GROUPS, why_not
from slopebeat.library.results import KeptEvidence
from slopebeat.model.evidence import MODELLED, RIDE, PastOuting
from slopebeat.model.language import tr, trn
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.outing.records import covers
from slopebeat.model.track import Track
from slopebeat.review.assessment import Expected, merged, steps_of
from slopebeat.review.evidence import activity_key
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name

Again = Callable[[tuple[Mark, ...]], Review]
"""Reviews the outing again with these marks."""


class EarlierOutings:
    """An athlete's outings, as far as they speak of one that is reviewed.

    Outings the user left out of what is learnt say nothing. Only earlier ones speak of an outing, so
    that importing it changes nothing of what is said of it.
    """

    def __init__(self, kept: Sequence[KeptEvidence]) -> None:
        self._kept = kept
        self._track: Track | None = None
        self._said: tuple[Expected | None, tuple[Mark, ...]] = (None, ())
        self._past: PastOuting | None = None
        self._foretelling: Foretelling | None = None

    def speak(self, review: Review, again: Again | None = None) -> Review:
        """The review with what earlier outings say of the next and of the heart rate.

        Parameters
        ----------
        again : reviews with more marks; None where a user decided on them, and no others are proposed.
        """
        if self._track is not review.track:
            self._track, self._said = review.track, _of_heart_rate(review, self._teachers(review))
        expected, marks = self._said
        if marks and again is not None:
            review = again(merged(review.marks, marks))
        review = replace(review, predicted=expected)
        if review.aim.band is None:
            return review
        if self._past is not review.past:
            # The same for every band that is tried.
            before = earlier_outings(self._kept, review)
            self._past, self._foretelling = review.past, foretelling_of([*before, review.past])
        next_time = self._foretelling
        band, target_s = review.aim.band, review.aim.target_s
        answers = NOTHING_KNOWN if next_time is None else next_time.answers(band, target_s)
        return replace(review, next_outings=answers)

    def _teachers(self, review: Review) -> EarlierFits | None:
        """What the outings of its kind started before it say of the heart rate."""
        group, start = GROUPS.get(activity_key(review)), review.recording.start_utc
        if group is None or (group == RIDE and review.work_source == MODELLED):
            return None
        taught = [
            one.evidence
            for one in self._kept
            if why_not(one.evidence, one.teaches) is None
            and one.evidence.start_utc < start
            and GROUPS.get(one.evidence.kind) == group
            and one.evidence.work_source == review.work_source
        ]
        return learn(taught, start)


def _of_heart_rate(review: Review, learnt: EarlierFits | None) -> tuple[Expected | None, tuple[Mark, ...]]:
    """The heart rate predicted, and the stretches it shows to be wrong.

    Modelled work of a ride is too rough to doubt a heart rate by.
    """
    track = review.track
    if learnt is None or review.work_source is None or not np.isfinite(track.hr_bpm).any():
        return None, ()
    predicted = predict(learnt, track, review.work_w_per_kg, own_day=True)
    steps = outing_steps(track, review.grid, steps_of(review.recording))
    line = np.interp(steps.t_s, track.t_s + 0.5 * track.recorded_s, predicted.hr_bpm)
    found = doubts_by_earlier(steps, learnt, line)
    marks = tuple(
        Mark(start, min(end, float(track.t_s[-1])), Channel.HEART_RATE, reason)
        for reason, mask in found.items()
        for start, end in spans_of(mask)
    )
    return Expected(np.where(predicted.known, predicted.hr_bpm, np.nan), learnt.outings), marks


def earlier_outings(kept: Sequence[KeptEvidence], review: Review) -> tuple[PastOuting, ...]:
    """Outings of the same sport started before one, in order of time; none of a sport without a work rate."""
    group, start = GROUPS.get(activity_key(review)), review.recording.start_utc
    if group is None:
        return ()
    taught = (
        one.evidence.past
        for one in kept
        if one.teaches
        and one.evidence.past is not None
        and one.evidence.start_utc < start
        and GROUPS.get(one.evidence.kind) == group
    )
    return tuple(sorted(taught, key=lambda one: one.start_utc))


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
    """Mean heart rate recorded in a stretch less what is predicted there."""
    if review.predicted is None:
        return None
    here = covers(mark, review.track.t_s)
    off = (review.recording.samples["hr_bpm"] - review.predicted.hr_bpm)[here]
    return float(np.nanmean(off)) if np.isfinite(off).any() else None
