"""Minutes in band on an outing to come, and how long it must last, from the outings before it.

An outing is summed up by the mean and the spread of its heart rate; both give the share in any band. The
spread is what uneven ground and stopping cost, and follows the variation of the work; the mean is what was
aimed at, and is foretold by what it was, or kept in the middle of the band give or take the day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slopebeat.analysis.price.draws import INTERVAL_LEVEL as INTERVAL_LEVEL
from slopebeat.analysis.price.draws import (
    MEAN_BPM,
    MEAN_HALF_LIFE,
    MOST_SHAPES,
    SEED,
    aimed_means,
    clock_s,
    draws_interval,
    next_spread,
    next_value,
    shares_in_band,
)
from slopebeat.analysis.price.draws import Middle as Middle
from slopebeat.analysis.price.unevenness import kind_at, kind_of, variation_of
from slopebeat.model.bands import Band
from slopebeat.model.evidence import PastOuting

ENOUGH = 5
"""Outings of the sport from which the interval is theirs rather than the stated priors' [measured]."""

RECENT = 10
"""Latest outings whose mean is compared with the band [project choice]."""

LONGEST_S, LONGEST_TIMES = 8 * 3600.0, 2.0
"""No length beyond a day out, or beyond this many times the longest outing known [project choice]."""


class NoLength(StrEnum):
    """Why no length is given."""

    NO_HEART = "no_heart_rate"
    OFF_BAND = "means_off_band"
    TOO_LONG = "too_long"


@dataclass(frozen=True)
class NextOuting:
    """The next outing in one of the two ways to go.

    Attributes
    ----------
    share : of its time with heart rate that is in band. needed_s : on the clock until the target is in
        band; None for the ``reason``.
    off_bpm : how far the mean of the ``recent`` latest outings lay above the middle of the band.
    outings : of the sport, learnt from.
    """

    share: Middle | None
    needed_s: Middle | None
    reason: NoLength | None
    off_bpm: float | None
    recent: int
    outings: int


@dataclass(frozen=True)
class NextAnswers:
    """Both answers: gone as usual, and with the mean kept in the middle of the band."""

    as_usual: NextOuting
    aimed: NextOuting


def next_outing(past: Sequence[PastOuting], band: Band, target_s: float) -> NextAnswers:
    """Foretell the outing after the last one, taken to be as uneven as that.

    Parameters
    ----------
    past : outings of one athlete and sport in order of time, the one just reviewed the last.
    """
    known = [one for one in past if one.has_heart]
    if not known:
        none = NextOuting(None, None, NoLength.NO_HEART, None, 0, 0)
        return NextAnswers(none, none)
    return predicted(known, variation_of(known[-1]), band, target_s)


def predicted(
    known: Sequence[PastOuting], variation: float | None, band: Band, target_s: float
) -> NextAnswers:
    """Foretell an outing of a stated variation of its minutes' work.

    Parameters
    ----------
    known : outings of one athlete and sport with heart rate, in order of time; at least one.
    variation : coefficient of variation, None where it is not known.
    """
    latest = known[-RECENT:]
    means = np.array([one.mean_bpm for one in latest])
    inside = bool(np.any((means >= band.lower_bpm - 0.5) & (means <= band.upper_bpm + 0.5)))
    limit = LONGEST_S
    if len(known) >= ENOUGH:
        limit = min(limit, LONGEST_TIMES * max(one.recorded_s for one in known))

    def answer(aimed: bool) -> NextOuting:
        share, needed = _drawn(known, variation, band, target_s, aimed)
        reason = None
        if not inside and not aimed:
            reason = NoLength.OFF_BAND
        elif needed.middle > limit:
            reason = NoLength.TOO_LONG
        off = float(means.mean()) - band.middle_bpm
        return NextOuting(share, None if reason else needed, reason, off, len(latest), len(known))

    return NextAnswers(answer(False), answer(True))


def _drawn(
    known: Sequence[PastOuting], variation: float | None, band: Band, target_s: float, aimed: bool
) -> tuple[Middle, Middle]:
    rng = np.random.default_rng(SEED)
    spread = next_spread(known, variation, rng)
    if aimed:
        mean = aimed_means(band, rng)
    else:
        kinds = [kind_of(one) for one in known]
        wanted = kind_at(variation, known[-1].on_bike)
        means = np.array([one.mean_bpm for one in known])
        mean = next_value(means, kinds, wanted, MEAN_BPM, rng, half_life=MEAN_HALF_LIFE)
    share = shares_in_band(mean, spread, band, [one.shape for one in known[-MOST_SHAPES:]], rng)
    return draws_interval(share), draws_interval(clock_s(share, target_s, rng))
