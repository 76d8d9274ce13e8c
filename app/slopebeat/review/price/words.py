"""What ground costs, and next week, in sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from slopebeat.analysis.price.grounds import PricedGround
from slopebeat.analysis.price.next_outing import ENOUGH, INTERVAL_LEVEL
from slopebeat.analysis.price.unevenness import Unevenness
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.units import duration, percent
from slopebeat.review.answer import length, off_band
from slopebeat.review.months.changes import group_words
from slopebeat.review.price.grounds import Price, SportPrice

KIND_WORDS: Mapping[Unevenness, str] = {
    Unevenness.STEADY: mark("steady"),
    Unevenness.GENTLE: mark("gentle"),
    Unevenness.MIXED: mark("mixed"),
    Unevenness.STOP_AND_GO: mark("stop and go"),
}

PLACE_WORDS: Mapping[Unevenness, str] = {
    Unevenness.STEADY: mark("on steady ground"),
    Unevenness.GENTLE: mark("on gentle ground"),
    Unevenness.MIXED: mark("on mixed ground"),
    Unevenness.STOP_AND_GO: mark("in stop and go"),
}

STEP_S = 300.0
"""Lengths to plan with are said in steps of five minutes [project choice]: nobody can plan finer."""

LEAST_MISSING_S = 60.0
"""Less missing is nothing missing [project choice]."""


def kind_words(row: PricedGround) -> str:
    """The kind of ground as the table has it; indoor sessions are named."""
    name = tr(KIND_WORDS[row.kind])
    if not row.indoors:
        return name
    if row.indoors == row.outings:
        return tr("{kind}, indoors").format(kind=name)
    return tr("{kind}, {n} indoors").format(kind=name, n=row.indoors)


def place_words(row: PricedGround) -> str:
    """Where to go, in a sentence."""
    if row.indoors:
        return tr("indoors") if row.indoors == row.outings else tr("indoors or on steady ground")
    return tr(PLACE_WORDS[row.kind])


def price_sentences(price: Price) -> tuple[str, ...]:
    """One for each sport: what the same minutes take on the evenest and the least even ground, or why not."""
    if not price.sports:
        return (tr("No outing with heart rate yet: what ground costs cannot be told."),)
    text = tr("{head}: {sentence}")
    return tuple(
        text.format(head=group_words(sport.sport), sentence=_costs(sport, price.target_s))
        for sport in price.sports
    )


def _costs(sport: SportPrice, target_s: float) -> str:
    if sport.band is None or sport.off_band is not None:
        return _why_no_length(sport)
    rows = [row for row in sport.rows if row.answers.aimed.needed_s is not None]
    if not rows:
        return tr("no sensible length gives {target} in band.").format(target=duration(target_s))
    kept = tr("with the mean kept about {bpm} bpm, {target} in band take {lengths}.").format(
        bpm=figure(sport.band.middle_bpm),
        target=duration(target_s),
        lengths=_or([_kept(row) for row in ([rows[0], rows[-1]] if len(rows) > 1 else rows)]),
    )
    return f"{kept} {_based_on(sport)}"


def _why_no_length(sport: SportPrice) -> str:
    off = sport.off_band
    return tr("no band is in force, so no length can be told.") if off is None else off_band(off)


def _kept(row: PricedGround) -> str:
    needed = row.answers.aimed.needed_s
    assert needed is not None
    return tr("{length} {place}").format(length=length(needed), place=place_words(row))


def _based_on(sport: SportPrice) -> str:
    if sport.outings < ENOUGH:
        few = trn(
            "Told from {n} outing and stated assumptions.",
            "Told from {n} outings and stated assumptions.",
            sport.outings,
        )
        return few.format(n=sport.outings)
    text = tr("Told from {n} outings; brackets should hold {level} of next times.")
    return text.format(n=sport.outings, level=percent(INTERVAL_LEVEL))


def next_week(missing_s: float, sessions: int, price: Price) -> tuple[str, ...]:
    """What to do for the minutes that are missing, a sentence for each sport.

    Parameters
    ----------
    price : of what one of the ``sessions`` has to give, that many of them the minutes missing.
    """
    if missing_s < LEAST_MISSING_S:
        return (tr("Nothing is missing of the prescribed minutes."),)
    missing = duration(missing_s)
    if not price.sports:
        return (tr("{missing} missing; no outing yet tells how long that takes.").format(missing=missing),)
    head = tr("{missing} missing").format(missing=missing)
    if sessions > 1:
        split = tr("{missing} missing, {n} times {each}")
        head = split.format(missing=missing, n=sessions, each=duration(price.target_s))
    if len(price.sports) == 1:
        return (tr("{head}: {sentence}").format(head=head, sentence=_advice(price.sports[0])),)
    sentences = [
        tr("{head}: {sentence}").format(head=group_words(sport.sport), sentence=_advice(sport))
        for sport in price.sports
    ]
    return (f"{head}.", *sentences)


def _advice(sport: SportPrice) -> str:
    if sport.band is None or sport.off_band is not None:
        return _why_no_length(sport)
    ways = [_about(row) for row in sport.rows if row.answers.aimed.needed_s is not None]
    if not ways:
        return tr("no sensible length gives so much at once.")
    text = tr("about {ways}, with the heart about {bpm}.")
    return text.format(ways=_or(ways), bpm=figure(sport.band.middle_bpm))


def _about(row: PricedGround) -> str:
    needed = row.answers.aimed.needed_s
    assert needed is not None
    rounded = STEP_S * max(round(needed.middle / STEP_S), 1)
    return tr("{length} {place}").format(length=duration(rounded), place=place_words(row))


def _or(parts: Sequence[str]) -> str:
    if len(parts) < 2:
        return "".join(parts)
    return tr("{most} or {last}").format(most=", ".join(parts[:-1]), last=parts[-1])
