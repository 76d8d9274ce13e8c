"""Episodes out of the band: each stretch above or below it, with what the ground asked just before."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.account.windows import window_means
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
    code = BandState.ABOVE if direction is Direction.ABOVE else BandState.BELOW
    beyond = Spans.from_mask(track.t_s, band_state(track.hr_bpm, band) == code)
    return beyond.without(_silence(track)).bridged(BRIDGED_BREAK_S).at_least(SHORTEST_EPISODE_S)


def find_episodes(
    track: Track, work_w_per_kg: Array, band: Band, climbs: Sequence[Climb]
) -> tuple[Episode, ...]:
    """Every out-of-band episode in order of time."""
    found = [(direction, *span) for direction in Direction for span in out_of_band(track, band, direction)]
    found.sort(key=lambda each: each[1])
    channels = (track.grade, track.vertical_speed_mps, work_w_per_kg, track.speed_mps)
    before = window_means(track, channels, [start for _, start, _ in found])
    return tuple(
        _describe(track, band, climbs, *each, *means) for each, means in zip(found, before, strict=True)
    )


def _describe(
    track: Track,
    band: Band,
    climbs: Sequence[Climb],
    direction: Direction,
    start: float,
    end: float,
    grade: float | None,
    vertical_mps: float | None,
    work: float | None,
    speed: float | None,
) -> Episode:
    first, last = np.searchsorted(track.t_s, (start, end)).tolist()
    hr, recorded = track.hr_bpm[first:last], track.recorded_s[first:last]
    if direction is Direction.ABOVE:
        peak, beyond = int(np.nanargmax(hr)), hr - band.upper_bpm
    else:
        peak, beyond = int(np.nanargmin(hr)), band.lower_bpm - hr
    cut_off = last >= len(track) - 1 or track.pause_s[last - 1] + track.gap_s[last - 1] > 0
    # What is within the band or unknown, bridged, is no beat beyond it.
    far = beyond > 0.0
    return Episode(
        start_s=start,
        end_s=end,
        direction=direction,
        peak_bpm=float(hr[peak]),
        bpm_minutes=float(beyond[far] @ recorded[far]) / 60.0,
        grade=grade,
        vertical_speed_m_per_h=None if vertical_mps is None else vertical_mps * 3600.0,
        work_w_per_kg=work,
        speed_mps=speed,
        climb=_climb_of(climbs, start, end),
        return_s=None if cut_off else end - float(track.t_s[first + peak]),
    )


def _climb_of(climbs: Sequence[Climb], start: float, end: float) -> int | None:
    """The climb, of those in order of time, that shares most with a stretch."""
    first = bisect_right(climbs, start, key=lambda climb: climb.end_s)
    last = bisect_left(climbs, end, key=lambda climb: climb.start_s)
    shared = [min(end, climb.end_s) - max(start, climb.start_s) for climb in climbs[first:last]]
    return first + shared.index(max(shared)) if shared else None


def _silence(track: Track) -> Spans:
    """Pauses and gaps as ranges: the last seconds before the next record, where they are counted."""
    broken = track.pause_s + track.gap_s
    silent = np.flatnonzero(broken > 0.0)
    return Spans.from_pairs(
        (track.t_s[i] + track.recorded_s[i], track.t_s[i] + track.recorded_s[i] + broken[i]) for i in silent
    )
