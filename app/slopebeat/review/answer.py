"""The answer of a review in plain sentences, the same on screen and in the terminal."""

from __future__ import annotations

from slopebeat.analysis.account.time_account import Extension, TimeAccount
from slopebeat.analysis.price.draws import INTERVAL_LEVEL, Middle
from slopebeat.analysis.price.next_outing import ENOUGH, LONGEST_S, NextAnswers, NextOuting, NoLength
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.people import Aim
from slopebeat.model.units import duration, percent, rest_s
from slopebeat.review.outing import Review
from slopebeat.review.words.causes import CAUSE_WORDS
from slopebeat.review.words.names import listed


def answer(review: Review) -> str:
    """What the outing was worth, in one to three sentences."""
    return " ".join(answer_sentences(review))


def basis_sentence(review: Review) -> str:
    """What the answer for next time is derived from; empty where there is none."""
    answers, account = review.next_outings, review.account
    if answers is None or answers.as_usual.share is None or account is None or not account.covered:
        return ""
    return _based_on(answers.as_usual, answers.aimed)


def answer_sentences(review: Review, with_basis: bool = True) -> tuple[str, ...]:
    """The sentences of the answer, with or without what they are derived from; the first one says most."""
    account, longer = review.account, review.extension
    if account is None or longer is None:
        return (tr("Set a band to see what counted."),)
    counted = counted_sentences(account, longer)
    if not account.covered or review.next_outings is None:
        return counted
    following = next_time(review.next_outings, review.aim)
    return (*counted, *(following if with_basis else following[:-1]))


def counted_sentences(account: TimeAccount, longer: Extension) -> tuple[str, ...]:
    """What counted and how much is missing, of an outing or of a day in parts."""
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
    return (*_against_target(longer, account), *_on_coverage(account))


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
    lost_words = duration(rest_s(account.recorded_s, account.in_band_s))
    return tr("Of the {lost} that did not count, {parts}.").format(lost=lost_words, parts=listed(parts))


REACHED_WITHIN_S = 60.0
"""A target missed by less counts as reached: minutes are what is prescribed [project choice]."""

LONGEST_SENSIBLE_S = LONGEST_S
"""No plan is made of a longer time."""

SAID_UNDER = 0.95
"""Coverage under which it is mentioned [project choice]."""


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


WIDE = 3.0
"""Ends of an interval further apart than this factor are called wide in words [project choice]."""


def next_time(answers: NextAnswers, aim: Aim) -> tuple[str, ...]:
    """Both answers, and last what they are derived from."""
    if aim.band is None or answers.as_usual.share is None:
        return ()
    usual, aimed = answers.as_usual, answers.aimed
    middle = figure(0.5 * (aim.band.lower_bpm + aim.band.upper_bpm))
    target = duration(aim.target_s)
    half = 0.5 * (aim.band.upper_bpm - aim.band.lower_bpm)
    far = usual.reason is NoLength.OFF_BAND or abs(usual.off_bpm or 0.0) > half
    sentences = [off_band(usual) if usual.needed_s is None and far else _as_usual(usual, target)]
    if aimed.needed_s is not None:
        kept = tr("With the mean kept about {bpm} bpm, {target} in band take {needed}.")
        sentences.append(kept.format(bpm=middle, target=target, needed=length(aimed.needed_s)))
    else:
        uneven = tr("Even with the mean kept about {bpm} bpm no sensible length gives {target} in band.")
        sentences.append(uneven.format(bpm=middle, target=target))
    return (*sentences, _based_on(usual, aimed))


def _as_usual(usual: NextOuting, target: str) -> str:
    if usual.needed_s is not None:
        gone = tr("Going as usual, {target} in band take {needed} next time.")
        return gone.format(needed=length(usual.needed_s), target=target)
    return tr("Going as usual, no sensible length gives {target} in band.").format(target=target)


def off_band(usual: NextOuting) -> str:
    """How far off the band the mean was, and what to do about it."""
    off = usual.off_bpm or 0.0
    text = (
        trn(
            "This outing lay {bpm} bpm above the middle of the band: no length helps, go slower.",
            "The last {n} outings lay {bpm} bpm above the middle of the band: no length helps, go slower.",
            usual.recent,
        )
        if off > 0.0
        else trn(
            "This outing lay {bpm} bpm under the middle of the band: no length helps, go faster.",
            "The last {n} outings lay {bpm} bpm under the middle of the band: no length helps, go faster.",
            usual.recent,
        )
    )
    return text.format(n=usual.recent, bpm=figure(abs(off)))


def length(needed: Middle) -> str:
    """A length with its interval: ``1 h 20 min (1 h 2 min to 1 h 50 min)``."""
    low = duration(needed.low)
    if needed.high > LONGEST_S:
        over = tr("{middle} ({low} to over {high})")
        return over.format(middle=duration(needed.middle), low=low, high=duration(LONGEST_S))
    ends = tr("{middle} ({low} to {high})")
    return ends.format(middle=duration(needed.middle), low=low, high=duration(needed.high))


def _based_on(usual: NextOuting, aimed: NextOuting) -> str:
    level = percent(INTERVAL_LEVEL)
    if usual.outings < ENOUGH:
        few = trn(
            "Brackets should hold {level} of next times; told from {n} outing and stated assumptions.",
            "Brackets should hold {level} of next times; told from {n} outings and stated assumptions.",
            usual.outings,
        )
        return few.format(level=level, n=usual.outings)
    text = tr("Brackets should hold {level} of next times; told from {n} outings.")
    sentence = text.format(level=level, n=usual.outings)
    wide = [each.needed_s for each in (usual, aimed) if each.needed_s is not None]
    if any(each.high > WIDE * each.low for each in wide):
        return sentence + " " + tr("How hard you go differs so much that a single length says little.")
    return sentence
