"""What the outings before one say: of the next, where a library knows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from slopebeat.analysis.account.next_outing import next_outing
from slopebeat.analysis.response.teaching import GROUPS
from slopebeat.library.results import KeptEvidence
from slopebeat.model.past import PastOuting
from slopebeat.review.evidence import kind_of
from slopebeat.review.outing import Review


def with_earlier(review: Review, kept: Sequence[KeptEvidence]) -> Review:
    """The review with the next outing told from this one and those of its sport begun before it.

    Outings the user left out of what is learnt say nothing, and this one, where it is among them, counts
    once.
    """
    if review.aim.band is None:
        return review
    before = earlier_outings(kept, review)
    answers = next_outing([*before, review.past], review.aim.band, review.aim.target_s)
    return replace(review, next_outings=answers)


def earlier_outings(kept: Sequence[KeptEvidence], review: Review) -> tuple[PastOuting, ...]:
    """Outings of the same sport begun before one, in order of time."""
    group, start = GROUPS.get(kind_of(review)), review.recording.start_utc
    taught = (
        PastOuting.from_values(one.evidence.past)
        for one in kept
        if one.teaches
        and one.evidence.past is not None
        and one.evidence.start_utc < start
        and GROUPS.get(one.evidence.kind) == group
    )
    return tuple(sorted(taught, key=lambda one: one.start_utc))
