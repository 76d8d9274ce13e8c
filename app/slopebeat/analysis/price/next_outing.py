"""Minutes in band on an outing to come, and how long it must last, from the outings before it.

An outing is summed up by the mean and the spread of its heart rate; both give the share in any band. The
spread is what uneven ground and stopping cost, and follows the variation of the work; the mean is what was
aimed at, and is predicted by what it was, or kept in the middle of the band give or take the day.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np

from slopebeat.analysis.price.draws import INTERVAL_LEVEL as INTERVAL_LEVEL
from slopebeat.analysis.price.draws import (
    MEAN_BPM,
    MEAN_HALF_LIFE,
    MOST_SHAPES,
    SEED,
    clock_s,
    draws_interval,
    landings,
    next_spread,
    next_value,
    shares_of_time_below,
)
from slopebeat.analysis.price.draws import Middle as Middle
from slopebeat.analysis.price.unevenness import kind_at, kind_of, variation_of
from slopebeat.model.bands import Band
from slopebeat.model.evidence import PastOuting
from slopebeat.model.track import Array

ENOUGH = 5
"""Outings of the sport from which the interval is theirs rather than the stated priors' [measured]."""

RECENT = 10
"""Latest outings whose mean is compared with the band [project choice]."""

LONGEST_S, LONGEST_TIMES = 8 * 3600.0, 2.0
"""No length beyond a day out, or beyond this many times the longest outing known [project choice]."""

MOST_EDGES = 64
"""Edges of a band whose shares are remembered: two megabytes of draws while a band is dragged
[project choice]."""


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


_NONE = NextOuting(None, None, NoLength.NO_HEART, None, 0, 0)
NOTHING_KNOWN = NextAnswers(_NONE, _NONE)
"""Where no outing with heart rate is known."""


def foretelling_of(past: Sequence[PastOuting]) -> Foretelling | None:
    """Foretell the outing after the last one, taken to be as uneven as that, for any band and target.

    None where no heart rate is known.

    Parameters
    ----------
    past : outings of one athlete and sport in order of time, the one just reviewed the last.
    """
    known = [one for one in past if one.has_heart]
    return Foretelling(known, variation_of(known[-1])) if known else None


class Foretelling:
    """An outing predicted for any band and target: what is drawn hangs on neither, and is drawn once."""

    def __init__(self, known: Sequence[PastOuting], variation: float | None) -> None:
        """Foretell an outing of a stated variation of its minutes' work.

        Parameters
        ----------
        known : outings of one athlete and sport with heart rate, in order of time; at least one.
        variation : coefficient of variation, None where it is not known.
        """
        latest = known[-RECENT:]
        self._means, self._outings = np.array([one.mean_bpm for one in latest]), len(known)
        self._limit = LONGEST_S
        if len(known) >= ENOUGH:
            self._limit = min(self._limit, LONGEST_TIMES * max(one.recorded_s for one in known))
        rng = np.random.default_rng(SEED)
        # Both ways go over the same ground: one spread, and from there the same chances.
        spread = next_spread(known, variation, rng)
        self._as_usual, self._aimed = (
            _draw(known, variation, spread, each, aimed)
            for each, aimed in ((deepcopy(rng), False), (rng, True))
        )

    def answers(self, band: Band, target_s: float) -> NextAnswers:
        """Gone as usual and with the mean kept in the middle of the band."""
        means = self._means
        inside = bool(np.any((means >= band.lower_bpm - 0.5) & (means <= band.upper_bpm + 0.5)))
        off = float(means.mean()) - band.middle_bpm

        def answer(drawn: _Draws, about_bpm: float, possible: bool) -> NextOuting:
            share = drawn.below(band.upper_bpm + 0.5, about_bpm) - drawn.below(
                band.lower_bpm - 0.5, about_bpm
            )
            needed, reason = draws_interval(clock_s(share, target_s, drawn.normal)), None
            if not possible:
                reason = NoLength.OFF_BAND
            elif needed.middle > self._limit:
                reason = NoLength.TOO_LONG
            none = reason is not None
            return NextOuting(
                draws_interval(share), None if none else needed, reason, off, means.size, self._outings
            )

        return NextAnswers(answer(self._as_usual, 0.0, inside), answer(self._aimed, band.middle_bpm, True))


class _Draws:
    """Draws of an outing: its mean heart rate less what it is about, spread, shape, and what its stretches
    differ by."""

    def __init__(self, mean: Array, spread: Array, shapes: Sequence[Array], rng: np.random.Generator) -> None:
        which = rng.integers(0, len(shapes) + 1, mean.size)
        self.normal = rng.standard_normal(mean.size)
        # While one edge is moved the other stays, and a hand goes back and forth over the same edges.
        self.below = lru_cache(maxsize=MOST_EDGES)(
            lambda edge_bpm, about_bpm: shares_of_time_below(
                edge_bpm, about_bpm + mean, spread, shapes, which
            )
        )


def _draw(
    known: Sequence[PastOuting], variation: float | None, spread: Array, rng: np.random.Generator, aimed: bool
) -> _Draws:
    if aimed:
        mean = landings(rng)
    else:
        kinds = [kind_of(one) for one in known]
        wanted = kind_at(variation, known[-1].on_bike)
        means = np.array([one.mean_bpm for one in known])
        mean = next_value(means, kinds, wanted, MEAN_BPM, rng, half_life=MEAN_HALF_LIFE)
    return _Draws(mean, spread, [one.shape for one in known[-MOST_SHAPES:]], rng)
