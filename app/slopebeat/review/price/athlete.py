"""All figures of one athlete: what ground costs, the week, what is missing, the gap, and the letter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from slopebeat.analysis.months.choice import day_of
from slopebeat.analysis.months.weeks import monday_of
from slopebeat.library.results import Inputs
from slopebeat.model.bands import Band
from slopebeat.model.evidence import OutingEvidence, OutingSummary
from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete, BandPeriod, Ground, Prescription, session_target_s
from slopebeat.model.units import duration
from slopebeat.review.cautions import cautions
from slopebeat.review.months.changes import group_words
from slopebeat.review.price.gap import Gap, gap_sentences, gaps
from slopebeat.review.price.grounds import Price, review_price
from slopebeat.review.price.words import LEAST_MISSING_S, next_week, price_sentences


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


def week_so_far(outings: Iterable[OutingSummary], prescribed: Prescription | None, day: date) -> WeekSoFar:
    """Minutes in band of the week, and what is missing to the prescription in force."""
    monday = monday_of(day)
    here = (one for one in outings if monday <= day_of(one) <= day)
    in_band = sum(one.in_band_s or 0.0 for one in here)
    minutes = None if prescribed is None else prescribed.minutes_per_week
    if minutes is None:
        return WeekSoFar(in_band, None, None)
    return WeekSoFar(in_band, 60.0 * minutes, max(60.0 * minutes - in_band, 0.0))


@dataclass(frozen=True)
class Letter:
    """One page. Paragraphs of ``text`` stand on lines of their own; empty lines part them."""

    title: str
    facts: str
    text: str
    price: Price
    cautions: tuple[str, ...]


def suggested_text(
    prescribed: Prescription | None,
    so_far: WeekSoFar | None,
    week: NextWeek | None,
    price: Price,
    gap: Sequence[str] = (),
) -> str:
    """What the figures say, as paragraphs, for a coach to change.

    Parameters
    ----------
    week : for the minutes missing; None where no minutes are prescribed. gap : sentences on the aerobic gap.
    """
    paragraphs = [_this_week(so_far, week), _prescribed(prescribed), _costs(week, price)]
    if len({row.kind for row in price.rows}) > 1:
        paragraphs.append(
            tr(
                "On uneven ground the same minutes take longer: the heart rate spreads further, however well "
                "its mean is kept."
            )
        )
    return "\n\n".join(text for text in (*paragraphs, "\n".join(gap)) if text)


def _this_week(so_far: WeekSoFar | None, week: NextWeek | None) -> str:
    if so_far is None or week is None:
        return ""
    lines = "\n".join(week.sentences)
    if so_far.prescribed_s is None:
        return lines
    here = tr("This week so far: {done} in band of {prescribed}.").format(
        done=duration(so_far.in_band_s) if so_far.in_band_s >= 60.0 else "0 min",
        prescribed=duration(so_far.prescribed_s),
    )
    return f"{here} {lines}"


def _costs(week: NextWeek | None, price: Price) -> str:
    """What ground costs; that a sport lies off the band is not said again where the week has said it."""
    sentences = price_sentences(price)
    if week is not None and week.missing_s >= LEAST_MISSING_S and price.sports:
        pairs = zip(price.sports, sentences, strict=True)
        sentences = tuple(text for sport, text in pairs if sport.off_band is None)
    return "\n".join(sentences)


def _prescribed(prescribed: Prescription | None) -> str:
    minutes = None if prescribed is None else prescribed.minutes_per_week
    if prescribed is None or not minutes:
        return ""
    sessions = prescribed.sessions_per_week
    if not sessions:
        return tr("Next week: {minutes} in band.").format(minutes=duration(60.0 * minutes))
    text = trn(
        "Next week: {minutes} in band in {n} session of {each}.",
        "Next week: {minutes} in band in {n} sessions of {each}.",
        sessions,
    )
    return text.format(minutes=duration(60.0 * minutes), n=sessions, each=duration(60.0 * minutes / sessions))


def letter_of(athlete: Athlete, day: date, text: str, price: Price) -> Letter:
    """The letter around a text."""
    bands = [f"{group_words(sport.sport)} {sport.band}" for sport in price.sports if sport.band is not None]
    return Letter(
        title=tr("For {name}").format(name=athlete.name),
        facts="  ·  ".join([f"{day}", *bands]),
        text=text.strip(),
        price=price,
        cautions=cautions(0, 2),
    )


def letter_lines(text: str) -> tuple[str, ...]:
    """The paragraphs of a letter, without the empty lines between them."""
    return tuple(line.strip() for line in text.splitlines() if line.strip())


@dataclass(frozen=True)
class AthletePrice:
    """As known at the end of a day. ``week`` is None where no minutes are prescribed or stated as missing."""

    athlete: Athlete
    prescribed: Prescription
    price: Price
    so_far: WeekSoFar
    week: NextWeek | None
    gaps: tuple[Gap, ...]

    @property
    def text(self) -> str:
        """The text suggested for the letter."""
        sentences = gap_sentences(self.gaps)
        return suggested_text(self.prescribed, self.so_far, self.week, self.price, sentences)

    def letter(self, text: str | None = None) -> Letter:
        """The letter with a text, by default the one suggested."""
        return letter_of(self.athlete, self.price.day, self.text if text is None else text, self.price)


def price_of_athlete(
    inputs: Inputs,
    taught: Sequence[OutingEvidence],
    summaries: Sequence[OutingSummary],
    day: date,
    *,
    target_s: float | None = None,
    missing_s: float | None = None,
    band: Band | None = None,
) -> AthletePrice:
    """Tell all of an athlete.

    Parameters
    ----------
    taught : what the outings teach that the user lets teach. target_s : time in band the table is for; by
        default one prescribed session. missing_s : by default what is missing this week.
    band : for all sports, in the place of those in force.
    """
    prescribed, periods = inputs.prescribed(day), inputs.periods
    known = gaps(each for each in periods if each.from_day <= day)
    if band is not None:
        periods = tuple(BandPeriod(inputs.athlete.identity, ground, date.min, band) for ground in Ground)
    so_far = week_so_far(summaries, prescribed, day)
    missing = so_far.missing_s if missing_s is None else missing_s
    price = review_price(taught, periods, target_s or session_target_s(prescribed), day)
    week = None if missing is None else plan_week(taught, periods, missing, prescribed, day)
    return AthletePrice(inputs.athlete, prescribed, price, so_far, week, known)
