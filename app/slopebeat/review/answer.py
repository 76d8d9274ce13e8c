"""The answer of a review in plain sentences, the same on screen and in the terminal."""

from __future__ import annotations

from slopebeat.analysis.account.time_account import Extension, TimeAccount
from slopebeat.analysis.price.next_outing import LONGEST_S
from slopebeat.model.language import mark, tr
from slopebeat.model.units import duration, percent, rest_s
from slopebeat.review.next_time import next_time, told_from
from slopebeat.review.outing import Review
from slopebeat.review.present.causes import CAUSE_WORDS
from slopebeat.review.wording import listed

CAUTIONS = (
    mark("This is not medical advice; a licensed professional and local rules come first."),
    mark("Maximal tests and lactate tests need medical clearance and a trained person."),
    mark("Chest pain, fainting or unusual breathlessness: stop and seek care."),
    mark(
        "A wrist sensor was off by 13 % on trails, a chest strap by 2 % (doi:10.1371/journal.pone.0238569)."
    ),
)
"""Shown, through ``tr``, wherever a band is asked for or an answer is given."""


LACTATE_CAUTIONS = (
    mark(
        "A lactate test is near-maximal work and takes blood: only with medical clearance, "
        "by a trained person, with clean single-use lancets."
    ),
    mark("Chest pain, fainting or unusual breathlessness: stop and seek care."),
    mark("This is not medical advice; a licensed professional and local rules come first."),
)
"""Shown wherever a test is entered or its result is given."""


def cautions(*numbers: int) -> tuple[str, ...]:
    """The cautions of these numbers, or all, in the language in force."""
    return tuple(tr(CAUTIONS[number]) for number in numbers or range(len(CAUTIONS)))


def answer(review: Review) -> str:
    """What the outing was worth, in one to three sentences."""
    return " ".join(answer_sentences(review))


def basis(review: Review) -> str:
    """What the answer for next time is told from; empty where there is none."""
    answers = review.next_outings
    if answers is None or review.account is None or not review.account.covered:
        return ""
    return told_from(answers, review.aim)


def answer_sentences(review: Review, with_basis: bool = True) -> tuple[str, ...]:
    """The sentences of the answer, with or without what they are told from; the first one says most."""
    account, longer = review.account, review.extension
    if account is None or longer is None:
        return (tr("Set a band to see what counted."),)
    if account.recorded_s <= 0.0:
        return (tr("Nothing was recorded between the first and the last record."),)
    if account.no_hr_s >= account.recorded_s:
        return (tr("Without heart rate nothing can be counted in band."),)
    if not account.covered:
        little = tr(
            "Heart rate could be trusted for {share} of the recorded time only: too little to say what "
            "counted."
        )
        return (little.format(share=percent(account.coverage)),)
    following = () if review.next_outings is None else next_time(review.next_outings, review.aim)
    if not with_basis:
        following = following[:-1]
    return (*_against_target(longer, account), *_on_coverage(account), *following)


def why(review: Review) -> str:
    """Why this outing needs longer: where the time that did not count went, the largest parts first."""
    causes, account = review.causes, review.account
    if causes is None or account is None or not account.covered:
        return ""
    lost = account.recorded_s - account.in_band_s
    if lost < 1.0:
        return tr("Every recorded second counted.")
    ranked = sorted(((s, c) for c, s in causes.seconds.items() if s >= 0.05 * lost), reverse=True)
    parts = [
        tr(CAUSE_WORDS[cause].phrase).format(share=percent(seconds / lost)) for seconds, cause in ranked[:4]
    ]
    said = duration(rest_s(account.recorded_s, account.in_band_s))
    return tr("Of the {lost} that did not count, {parts}.").format(lost=said, parts=listed(parts))


REACHED_WITHIN_S = 60.0
"""A target missed by less counts as reached: minutes are what is prescribed [project choice]."""

LONGEST_SENSIBLE_S = LONGEST_S
"""No plan is made of a longer time."""

SAID_UNDER = 0.95
"""Coverage under which it is told [project choice]."""


def _on_coverage(account: TimeAccount) -> tuple[str, ...]:
    """What the shares are of, where heart rate was not trusted all the time."""
    if account.coverage is None or account.coverage >= SAID_UNDER:
        return ()
    of_known = tr("Shares are of the {known} with trusted heart rate, {share} of the recorded time.")
    return (of_known.format(known=duration(account.known_s), share=percent(account.coverage)),)


def _against_target(longer: Extension, account: TimeAccount) -> tuple[str, ...]:
    """What counted and what the target asked for; a target that was reached comes first."""
    target = duration(longer.target_s)
    figures = {
        "in_band": duration(account.in_band_s),
        "recorded": duration(account.recorded_s),
        "share": percent(longer.yield_share),
    }
    if longer.missing_s < REACHED_WITHIN_S:
        reached = tr("Target of {target} reached: {in_band} of {recorded} recorded counted ({share}).")
        return (reached.format(target=target, **figures),)
    counted = tr("{in_band} of {recorded} recorded counted ({share}).").format(**figures)
    missing = duration(rest_s(longer.target_s, longer.target_s - longer.missing_s))
    if longer.more_s is None or longer.more_s > LONGEST_SENSIBLE_S:
        short = tr("That is {missing} short of the {target} aimed at.")
        return counted, short.format(missing=missing, target=target)
    short = tr("That is {missing} short of the {target} aimed at, {more} more on ground like this.")
    return counted, short.format(missing=missing, target=target, more=duration(longer.more_s))
