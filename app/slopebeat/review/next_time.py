"""How long the next outing must last, in plain words: as usual, and kept in the middle of the band."""

from __future__ import annotations

from slopebeat.analysis.price.next_outing import (
    ENOUGH,
    INTERVAL_LEVEL,
    LONGEST_S,
    Middle,
    NextAnswers,
    NextOuting,
    NoLength,
)
from slopebeat.model.athlete import Aim
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.units import duration, percent

WIDE = 3.0
"""Ends of an interval further apart than this factor are called wide in words [project choice]."""


def next_time(answers: NextAnswers, aim: Aim) -> tuple[str, ...]:
    """Both answers, and last what they are told from."""
    if aim.band is None or answers.as_usual.share is None:
        return ()
    usual, aimed = answers.as_usual, answers.aimed
    middle = figure(0.5 * (aim.band.lower_bpm + aim.band.upper_bpm))
    target = duration(aim.target_s)
    half = 0.5 * (aim.band.upper_bpm - aim.band.lower_bpm)
    far = usual.reason is NoLength.OFF_BAND or abs(usual.off_bpm or 0.0) > half
    told = [off_band(usual) if usual.needed_s is None and far else _as_usual(usual, target)]
    if aimed.needed_s is not None:
        kept = tr("With the mean kept about {bpm} bpm, {target} in band take {needed}.")
        told.append(kept.format(bpm=middle, target=target, needed=length(aimed.needed_s)))
    else:
        uneven = tr("Even with the mean kept about {bpm} bpm no sensible length gives {target} in band.")
        told.append(uneven.format(bpm=middle, target=target))
    return (*told, _told_from(usual, aimed))


def told_from(answers: NextAnswers, aim: Aim) -> str:
    """What the answers are told from, and that they are wide where they are; empty without answers."""
    if aim.band is None or answers.as_usual.share is None:
        return ""
    return _told_from(answers.as_usual, answers.aimed)


def _as_usual(usual: NextOuting, target: str) -> str:
    if usual.needed_s is not None:
        gone = tr("Gone as usual, {target} in band take {needed} next time.")
        return gone.format(needed=length(usual.needed_s), target=target)
    return tr("Gone as usual no sensible length gives {target} in band.").format(target=target)


def off_band(usual: NextOuting) -> str:
    """How far off the band the mean was, and what to do about it."""
    off = usual.off_bpm or 0.0
    told = (
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
    return told.format(n=usual.recent, bpm=figure(abs(off)))


def length(needed: Middle) -> str:
    """A length with its interval: ``1 h 20 min (1 h 2 min to 1 h 50 min)``."""
    low = duration(needed.low)
    if needed.high > LONGEST_S:
        over = tr("{middle} ({low} to over {high})")
        return over.format(middle=duration(needed.middle), low=low, high=duration(LONGEST_S))
    ends = tr("{middle} ({low} to {high})")
    return ends.format(middle=duration(needed.middle), low=low, high=duration(needed.high))


def _told_from(usual: NextOuting, aimed: NextOuting) -> str:
    level = percent(INTERVAL_LEVEL)
    if usual.outings < ENOUGH:
        few = trn(
            "Brackets should hold {level} of next times; told from {n} outing and stated assumptions.",
            "Brackets should hold {level} of next times; told from {n} outings and stated assumptions.",
            usual.outings,
        )
        return few.format(level=level, n=usual.outings)
    told = tr("Brackets should hold {level} of next times; told from {n} outings.")
    said = told.format(level=level, n=usual.outings)
    wide = [each.needed_s for each in (usual, aimed) if each.needed_s is not None]
    if any(each.high > WIDE * each.low for each in wide):
        return said + " " + tr("How hard you go differs so much that a single length says little.")
    return said
