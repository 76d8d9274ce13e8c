"""What the heart did on the climbs of an outing: time above the band, where that was left, the way back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.account.windows import LAG_WINDOW_S, window_mean
from slopebeat.model.bands import Band
from slopebeat.model.spans import Spans
from slopebeat.model.track import Track

LEAST_HEART_SHARE = 0.5
"""Of a climb's recorded time with trusted heart rate, for a share of it to be given [project choice]."""

MOST_EXITS = 2048
"""Exits whose ground is remembered: those of a hundred climbs while a band is dragged [project choice]."""


class HeartOnClimbs:
    """Tells what the heart did on the climbs of one outing for any band."""

    def __init__(self, climbs: Sequence[Climb], track: Track) -> None:
        self._track = track
        ends = np.array([(climb.start_s, climb.end_s) for climb in climbs]).reshape(-1, 2)
        self._climbs = [
            (climb, slice(first, last), _known(track, slice(first, last)))
            for climb, (first, last) in zip(climbs, np.searchsorted(track.t_s, ends).tolist(), strict=True)
        ]
        self._just_before = lru_cache(maxsize=MOST_EXITS)(self._means)

    def seen(self, band: Band, above: Spans) -> tuple[Climb, ...]:
        """The climbs with what the heart did on them.

        Parameters
        ----------
        above : episodes above the band, so that a single high beat is not an exit.
        """
        over = band_state(self._track.hr_bpm, band) == BandState.ABOVE
        return tuple(
            climb if known_s <= 0.0 else self._heart(climb, here, (known_s, enough), over, above)
            for climb, here, (known_s, enough) in self._climbs
        )

    def _heart(
        self, climb: Climb, here: slice, known: tuple[float, bool], over: NDArray[np.bool_], above: Spans
    ) -> Climb:
        (known_s, enough), above_s = known, float(self._track.recorded_s[here][over[here]].sum())
        there = above.within(climb.start_s, climb.end_s)
        exit_s = max(float(there.start_s[0]), climb.start_s) if len(there) else None
        back_s = above.end_around(climb.end_s)
        grade, speed = (None, None) if exit_s is None else self._just_before(climb.start_s, exit_s)
        return replace(
            climb,
            above_s=above_s,
            share_above=above_s / known_s if enough else None,
            time_to_exit_s=None if exit_s is None else exit_s - climb.start_s,
            exit_grade=grade,
            exit_speed_mps=speed,
            return_s=None if back_s is None else back_s - climb.end_s,
        )

    def _means(self, start_s: float, exit_s: float) -> tuple[float | None, float | None]:
        """Grade and speed on the way to an exit: the same for every band that is left there."""
        track, lag_s = self._track, max(exit_s - LAG_WINDOW_S, start_s)
        return (
            window_mean(track, track.grade, lag_s, exit_s),
            window_mean(track, track.speed_mps, lag_s, exit_s),
        )


def _known(track: Track, here: slice) -> tuple[float, bool]:
    """Seconds with trusted heart rate, and whether they are enough to tell a share of."""
    recorded = track.recorded_s[here]
    known_s = float(recorded[~np.isnan(track.hr_bpm[here])].sum())
    return known_s, bool(known_s >= LEAST_HEART_SHARE * recorded.sum())
