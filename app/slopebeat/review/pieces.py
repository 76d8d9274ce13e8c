"""The pieces of an outing one can point at: which stretches they cover, and what they are called."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.causes import CODE, Cause
from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.episodes import BRIDGED_BREAK_S, SHORTEST_EPISODE_S, Direction, Episode
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.language import tr
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track
from slopebeat.model.units import clock, minutes_seconds
from slopebeat.review.outing import Review
from slopebeat.review.present.account import GAP, PARTS, PAUSE
from slopebeat.review.present.figure import Figure
from slopebeat.review.words.names import key_name

Ends = tuple[float, float]
"""Start and end of a stretch, seconds from the first record."""


def part_of_state(state: BandState) -> Figure:
    """The part of the account that holds the time of a state of the band."""
    return next(figure for each, figure in PARTS if each is state)


def part_stretches(review: Review, part: str, standing: bool | None = None) -> tuple[Ends, ...]:
    """Where a part of the time account, by its key, lies; of it only the standing or only the moving time.

    Breaks shorter than those of an episode are bridged, and shorter stretches than an episode are left out,
    as long as any are left.
    """
    track, band = review.track, review.aim.band
    if part in (PAUSE.key, GAP.key):
        silent_s = track.pause_s if part == PAUSE.key else track.gap_s
        start = track.t_s + track.recorded_s
        return tuple((float(start[i]), float(start[i] + silent_s[i])) for i in np.flatnonzero(silent_s > 0.0))
    state = next((each for each, figure in PARTS if figure.key == part), None)
    if band is None or state is None:
        return ()
    here = band_state(track.hr_bpm, band) == state
    if standing is not None:
        here &= track.moving != standing
    return _readable(track, here)


def cause_stretches(review: Review, cause: Cause) -> tuple[Ends, ...]:
    """Where a cause kept the outing out of band, bridged and sifted as the parts are."""
    if review.causes is None:
        return ()
    return _readable(review.track, review.causes.code == CODE[cause])


def _readable(track: Track, here: NDArray[np.bool_]) -> tuple[Ends, ...]:
    """Stretches of the samples, no longer one per second where something changes to and fro."""
    found = _runs(track, here & (track.recorded_s > 0.0)).bridged(BRIDGED_BREAK_S)
    lasting = found.at_least(SHORTEST_EPISODE_S)
    return tuple(lasting if len(lasting) else found)


def _runs(track: Track, here: NDArray[np.bool_]) -> Spans:
    """Runs of samples, each up to the end of what its last one stands for; pauses and gaps end a run."""
    silent: Array = track.pause_s + track.gap_s
    follows = np.zeros(here.shape, dtype=bool)
    follows[1:] = here[:-1] & (silent[:-1] == 0.0)
    first = np.flatnonzero(here & ~follows)
    goes_on = np.zeros(here.shape, dtype=bool)
    goes_on[:-1] = here[1:] & (silent[:-1] == 0.0)
    last = np.flatnonzero(here & ~goes_on)
    return Spans(track.t_s[first], track.t_s[last] + track.recorded_s[last])


def episode_at(review: Review, t_s: float) -> int | None:
    """Number, from 0, of the episode out of band at a second of the outing."""
    return _at(review.episodes, t_s)


def climb_at(review: Review, t_s: float) -> int | None:
    """Number, from 0, of the climb at a second of the outing."""
    return _at(review.climbs, t_s)


def _at(rows: Sequence[Climb | Episode], t_s: float) -> int | None:
    return next((i for i, row in enumerate(rows) if row.start_s <= t_s < row.end_s), None)


def part_name(part: str, standing: bool | None = None) -> str:
    """What a part of the account is called."""
    name = tr(next(figure for _, figure in PARTS if figure.key == part).name)
    return tr("{part}, standing").format(part=name) if standing else name


def cause_of(review: Review, episode: int) -> Cause | None:
    """The cause of most seconds of an episode."""
    found = review.episodes[episode]
    return (
        None if review.causes is None else review.causes.main_cause(review.track, found.start_s, found.end_s)
    )


def state_of(review: Review, episode: int) -> BandState:
    """The side of the band an episode lies on."""
    above = review.episodes[episode].direction is Direction.ABOVE
    return BandState.ABOVE if above else BandState.BELOW


def episode_name(review: Review, episode: int) -> str:
    """The side of an episode and its cause."""
    name, cause = part_name(part_of_state(state_of(review, episode)).key), cause_of(review, episode)
    return name if cause is None else tr("{part}: {cause}").format(part=name, cause=key_name(cause))


def climb_name(climb: int) -> str:
    """What a climb is called, by its number as tables and charts write it."""
    return tr("Climb {number}").format(number=climb + 1)


def words_at(review: Review, t_s: float) -> str:
    """What lies at a second of the outing, a line each with its time: the episode or the state, the climb."""
    lines = []
    episode, climb = episode_at(review, t_s), climb_at(review, t_s)
    if episode is not None:
        lines.append(_line(episode_name(review, episode), review.episodes[episode]))
    elif review.aim.band is not None and len(review.track):
        lines.append(_state_at(review, t_s))
    if climb is not None:
        lines.append(_line(climb_name(climb), review.climbs[climb]))
    return "\n".join(lines)


def _line(name: str, row: Climb | Episode) -> str:
    start, end, time = clock(row.start_s), clock(row.end_s), minutes_seconds(row.end_s - row.start_s)
    return tr("{name}, {start} to {end} ({time})").format(name=name, start=start, end=end, time=time)


def _state_at(review: Review, t_s: float) -> str:
    track, band = review.track, review.aim.band
    assert band is not None
    i = int(np.clip(np.searchsorted(track.t_s, t_s, side="right") - 1, 0, len(track) - 1))
    after_s = t_s - float(track.t_s[i])
    if after_s >= track.recorded_s[i] and track.pause_s[i] + track.gap_s[i] > 0.0:
        return part_name((PAUSE if track.pause_s[i] >= track.gap_s[i] else GAP).key)
    state = BandState(int(band_state(track.hr_bpm[i : i + 1], band)[0]))
    return part_name(part_of_state(state).key)
