"""Which outings tell what ground costs, and why the others do not."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from enum import StrEnum

from slopebeat.analysis.price.grounds import priced_sport
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.language import mark, tr
from slopebeat.review.months.changes import LeftOut, day_and_title


class NotPriced(StrEnum):
    """Key of why an outing tells nothing of what ground costs."""

    LEFT_OUT = "left_out"
    NOT_REVIEWED = "not_reviewed"
    OTHER_SPORT = "other_sport"
    NO_HEART_RATE = "no_heart_rate"


NOT_PRICED_WORDS = {
    NotPriced.LEFT_OUT: mark("left out by hand"),
    NotPriced.NOT_REVIEWED: mark("being computed"),
    NotPriced.OTHER_SPORT: mark("neither on foot nor on a bike"),
    NotPriced.NO_HEART_RATE: mark("too little trusted heart rate"),
}


def why_not_priced(evidence: OutingEvidence | None, chosen: bool) -> NotPriced | None:
    """Why an outing tells nothing of what ground costs; None where it does."""
    if not chosen:
        return NotPriced.LEFT_OUT
    if evidence is None:
        return NotPriced.NOT_REVIEWED
    if priced_sport(evidence) is None:
        return NotPriced.OTHER_SPORT
    if evidence.past is None or not evidence.past.has_heart:
        return NotPriced.NO_HEART_RATE
    return None


def price_outings(
    outings: Iterable[tuple[str, datetime, OutingEvidence | None, bool]],
) -> tuple[LeftOut, ...]:
    """Every outing with what one click does: those left out first, then those the figures are told from.

    Parameters
    ----------
    outings : title, start, what it teaches, and whether the user lets it.
    """
    left, entered = [], []
    for at, (title, start_utc, evidence, chosen) in enumerate(outings):
        why, name = why_not_priced(evidence, chosen), day_and_title(title, start_utc)
        if why is None:
            entered.append(LeftOut(name, tr("the figures are told from it"), at, False))
        else:
            by_hand = True if why is NotPriced.LEFT_OUT else None
            left.append(LeftOut(name, tr(NOT_PRICED_WORDS[why]), at, by_hand))
    return (*left, *entered)
