"""The letter to an athlete: the week, what is missing, what ground costs; its text is a coach's to change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete, Prescription
from slopebeat.model.units import duration
from slopebeat.review.cautions import cautions
from slopebeat.review.months.changes import group_words
from slopebeat.review.price.grounds import Price
from slopebeat.review.price.week import NextWeek, WeekSoFar
from slopebeat.review.price.words import LEAST_MISSING_S, price_sentences


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
    paragraphs = [_this_week(so_far, week), _prescribed(prescribed, price), _costs(week, price)]
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


def _prescribed(prescribed: Prescription | None, price: Price) -> str:
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
