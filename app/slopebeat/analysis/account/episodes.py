"""Episodes out of the band: each stretch above or below it, with what the ground asked just before."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.account.windows import LagMeans, samples_of
from slopebeat.model.bands import Band
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track

SHORTEST_EPISODE_S = 10.0
"""Out of band for less than this is no episode [project choice]."""

BRIDGED_BREAK_S = 15.0
"""A break shorter than this does not end an episode [project choice]."""


class Direction(StrEnum):
    """Which edge of the band was left."""

    ABOVE = "above"
    BELOW = "below"


@dataclass(frozen=True)
class Episode:
    """One stretch out of band; None where the recording does not say.

    Attributes
    ----------
    start_s, end_s : seconds from the first record.
    peak_bpm : highest heart rate above the band, lowest below it.
    bpm_minutes : beats beyond the edge, integrated over minutes.
    grade, vertical_speed_m_per_h, work_w_per_kg, speed_mps : means over the lag window before the exit.
    climb : index of the climb it belongs to, the one it shares most time with.
    return_s : from the peak until the episode ends; None when the recording or a pause cuts it off.
    """

    start_s: float
    end_s: float
    direction: Direction
    peak_bpm: float
    bpm_minutes: float
    grade: float | None = None
    vertical_speed_m_per_h: float | None = None
    work_w_per_kg: float | None = None
    speed_mps: float | None = None
    climb: int | None = None
    return_s: float | None = None


def out_of_band(track: Track, band: Band, direction: Direction) -> Spans:
    """Stretches on one side of the band, short breaks bridged, short stretches dropped.

    Pauses and gaps are cut out first; one shorter than the bridged break does not split an episode.
    """
    return _out_of_band(track, band_state(track.hr_bpm, band), direction, _silence(track))


class EpisodeFinder:
    """Finds the episodes of one outing for any band; what no band changes is made ready once."""

    def __init__(self, track: Track, work_w_per_kg: Array) -> None:
        self._track, self._silence = track, _silence(track)
        channels = (track.grade, track.vertical_speed_mps, work_w_per_kg, track.speed_mps)
        self._before = LagMeans(track, channels)

    def out_of_band(self, band: Band) -> dict[Direction, Spans]:
        """:func:`out_of_band` on both sides."""
        state = band_state(self._track.hr_bpm, band)
        return {each: _out_of_band(self._track, state, each, self._silence) for each in Direction}

    def find(
        self, band: Band, climbs: Sequence[Climb], outside: Mapping[Direction, Spans] | None = None
    ) -> tuple[Episode, ...]:
        """Every episode in order of time; ``outside`` are those of :meth:`out_of_band`, where known."""
        sides = []
        for direction, spans in (outside or self.out_of_band(band)).items():
            sides += [(start, end, direction) for start, end in spans]
        if not sides:
            return ()
        sides.sort(key=lambda each: each[0])
        start_s, end_s = (np.array([each[at] for each in sides]) for at in (0, 1))
        above = np.array([direction is Direction.ABOVE for _, _, direction in sides])
        columns = zip(
            sides,
            self._before.before(start_s),
            self._beyond(band, start_s, end_s, above),
            _climbs_of(climbs, ((start, end) for start, end, _ in sides)),
            strict=True,
        )
        return tuple(
            Episode(
                start_s=start,
                end_s=end,
                direction=direction,
                peak_bpm=peak,
                bpm_minutes=beats,
                grade=grade,
                vertical_speed_m_per_h=None if vertical is None else vertical * 3600.0,
                work_w_per_kg=work,
                speed_mps=speed,
                climb=climb,
                return_s=back,
            )
            for (start, end, direction), (grade, vertical, work, speed), (peak, beats, back), climb in columns
        )

    def _beyond(
        self, band: Band, start_s: Array, end_s: Array, above: NDArray[np.bool_]
    ) -> Iterator[tuple[float, float, float | None]]:
        """Of (m,) episodes, each with a sample beyond the band: farthest heart rate, beats beyond the edge
        times minutes, and the seconds from the farthest point to the end."""
        track = self._track
        first, last = np.searchsorted(track.t_s, start_s), np.searchsorted(track.t_s, end_s)
        begins, (own, at) = np.cumsum(last - first) - (last - first), samples_of(first, last)
        side = np.where(above, 1.0, -1.0)
        heart = side[own] * track.hr_bpm[at]
        beyond = heart - (side * np.where(above, band.upper_bpm, band.lower_bpm))[own]
        # What is within the band or unknown, bridged, is no beat beyond it.
        beats = np.add.reduceat(np.where(beyond > 0.0, beyond, 0.0) * track.recorded_s[at], begins) / 60.0
        heart = np.where(np.isnan(heart), -np.inf, heart)
        farthest = np.flatnonzero(heart == np.maximum.reduceat(heart, begins)[own])
        peak = at[farthest[np.searchsorted(own[farthest], np.arange(first.size))]]
        cut = (last >= len(track) - 1) | (track.pause_s[last - 1] + track.gap_s[last - 1] > 0)
        back = (end_s - track.t_s[peak]).tolist()
        returned = (None if off else seconds for off, seconds in zip(cut.tolist(), back, strict=True))
        return zip(track.hr_bpm[peak].tolist(), beats.tolist(), returned, strict=True)


def _out_of_band(track: Track, state: NDArray[np.int8], direction: Direction, silence: Spans) -> Spans:
    code = BandState.ABOVE if direction is Direction.ABOVE else BandState.BELOW
    beyond = Spans.from_mask(track.t_s, state == code)
    return beyond.without(silence).bridged(BRIDGED_BREAK_S).at_least(SHORTEST_EPISODE_S)


def _climbs_of(climbs: Sequence[Climb], stretches: Iterable[tuple[float, float]]) -> Iterator[int | None]:
    """Of each stretch the climb, of those in order of time, that shares most with it."""
    starts, ends = [climb.start_s for climb in climbs], [climb.end_s for climb in climbs]
    for start, end in stretches:
        here = range(bisect_right(ends, start), bisect_left(starts, end))
        yield max(here, key=lambda at: min(end, ends[at]) - max(start, starts[at]), default=None)


def _silence(track: Track) -> Spans:
    """Pauses and gaps as ranges: the last seconds before the next record, where they are counted."""
    broken = track.pause_s + track.gap_s
    silent = np.flatnonzero(broken > 0.0)
    return Spans.from_pairs(
        (track.t_s[i] + track.recorded_s[i], track.t_s[i] + track.recorded_s[i] + broken[i]) for i in silent
    )
