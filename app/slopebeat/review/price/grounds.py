"""What the prescribed minutes take on each kind of ground an athlete goes on, as known on a day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from slopebeat.analysis.price.grounds import SPORTS, PricedGround, by_sport, price_grounds, priced_sport
from slopebeat.analysis.price.next_outing import NextOuting, NoLength
from slopebeat.model.bands import Band
from slopebeat.model.evidence import RIDE, OutingEvidence
from slopebeat.model.language import mark, tr
from slopebeat.model.people import BandPeriod, Ground, band_in_force
from slopebeat.review.months.changes import LeftOut, day_and_title


@dataclass(frozen=True)
class SportPrice:
    """One sport: a row for each kind of ground that was gone.

    Attributes
    ----------
    outings : with heart rate, until the day. band : in force on the day; without one there are no rows.
    """

    sport: str
    outings: int
    band: Band | None
    rows: tuple[PricedGround, ...] = ()

    @property
    def off_band(self) -> NextOuting | None:
        """How far off the band the last outings lay, where none lay inside it: then no length is given."""
        usual = self.rows[0].answers.as_usual if self.rows else None
        return usual if usual is not None and usual.reason is NoLength.OFF_BAND else None


@dataclass(frozen=True)
class Price:
    """What ``target_s`` in band take, as known at the end of ``day`` from the outings until then."""

    day: date
    target_s: float
    sports: tuple[SportPrice, ...]

    @property
    def rows(self) -> tuple[PricedGround, ...]:
        """Of all sports, in the order of the table."""
        return tuple(row for sport in self.sports for row in sport.rows)


def review_price(
    taught: Iterable[OutingEvidence],
    periods: tuple[BandPeriod, ...],
    target_s: float,
    day: date,
) -> Price:
    """What ground costs one athlete.

    Parameters
    ----------
    taught : what the athlete's outings teach, in any order; those the user left out are not among them.
    periods : the athlete's bands. target_s : time in band, more than none. day : later outings are not known.
    """
    found = []
    known = by_sport(one for one in taught if one.start_utc.date() <= day)
    for sport in SPORTS:
        past = known.get(sport)
        if not past:
            continue
        ground = Ground.BIKE if sport == RIDE else Ground.FOOT
        here = band_in_force(periods, ground, day)
        rows = () if here is None else price_grounds(sport, past, here, target_s)
        found.append(SportPrice(sport, len(past), here, rows))
    return Price(day, target_s, tuple(found))


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
    """Every outing with what one click does: those left out first, then those the figures are derived from.

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
