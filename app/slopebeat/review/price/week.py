"""Next week for one athlete: the minutes missing, over as many sessions as they take, and how long each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, tzinfo

from slopebeat.analysis.months.choice import day_of
from slopebeat.analysis.months.weeks import monday_of
from slopebeat.model.evidence import OutingEvidence, OutingSummary
from slopebeat.model.people import BandPeriod, Prescription, session_target_s
from slopebeat.review.price.grounds import Price, review_price
from slopebeat.review.price.words import LEAST_MISSING_S, next_week


@dataclass(frozen=True)
class NextWeek:
    """What is missing, and the price of one of the sessions that make it up.

    Attributes
    ----------
    sentences : what to do, one for each sport the athlete goes.
    """

    missing_s: float
    sessions: int
    price: Price
    sentences: tuple[str, ...]


def plan_week(
    taught: Iterable[OutingEvidence],
    periods: tuple[BandPeriod, ...],
    missing_s: float,
    prescribed: Prescription | None,
    day: date,
) -> NextWeek:
    """What an athlete may do for the missing minutes; as :func:`review_price` else.

    They are spread over as many sessions as come nearest to one prescribed session each; without any missing
    the price is that of one prescribed session.
    """
    session_s = session_target_s(prescribed)
    sessions = max(round(missing_s / session_s), 1)
    each_s = missing_s / sessions if missing_s >= LEAST_MISSING_S else session_s
    price = review_price(taught, periods, each_s, day)
    return NextWeek(missing_s, sessions, price, next_week(missing_s, sessions, price))


@dataclass(frozen=True)
class WeekSoFar:
    """The ISO week of a day until then. missing_s : None where no minutes are prescribed."""

    in_band_s: float
    prescribed_s: float | None
    missing_s: float | None


def week_so_far(
    outings: Iterable[OutingSummary], prescribed: Prescription | None, day: date, home: tzinfo | None = None
) -> WeekSoFar:
    """Minutes in band of the week, and what is missing to the prescription in force."""
    monday = monday_of(day)
    here = (one for one in outings if monday <= day_of(one, home) <= day)
    in_band = sum(one.in_band_s or 0.0 for one in here)
    minutes = None if prescribed is None else prescribed.minutes_per_week
    if minutes is None:
        return WeekSoFar(in_band, None, None)
    return WeekSoFar(in_band, 60.0 * minutes, max(60.0 * minutes - in_band, 0.0))
