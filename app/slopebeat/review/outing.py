"""One outing reviewed: the join of cleaning and analysis that the window and the command both show."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.climbs import Climb, find_climbs, with_heart_rate
from slopebeat.analysis.decoupling import Decoupling, decoupling
from slopebeat.analysis.episodes import Direction, Episode, find_episodes, out_of_band
from slopebeat.analysis.extension import Extension, extension
from slopebeat.analysis.time_account import TimeAccount, time_account
from slopebeat.analysis.work_rate import work_rate_w_per_kg
from slopebeat.cleaning.clean import clean
from slopebeat.cleaning.elevation import Elevation
from slopebeat.model.athlete import Aim
from slopebeat.model.marks import Mark
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array, Track


@dataclass(frozen=True, eq=False)
class Review:
    """Everything computed of one outing. What needs a band is None or empty without one.

    Attributes
    ----------
    work_w_per_kg : (n,) work rate per kilogram of body mass, NaN where unknown.
    warnings : sentences from the reader, the cleaning and the analysis.
    """

    recording: Recording
    aim: Aim
    marks: tuple[Mark, ...]
    elevation: Elevation
    track: Track
    work_w_per_kg: Array
    climbs: tuple[Climb, ...]
    decoupling: Decoupling
    account: TimeAccount | None
    episodes: tuple[Episode, ...]
    extension: Extension | None
    warnings: tuple[str, ...]


def review_recording(recording: Recording, aim: Aim, marks: tuple[Mark, ...] | None = None) -> Review:
    """Clean and analyse one recording.

    ``marks`` replaces what cleaning would propose, once a user has accepted, rejected or added some.
    """
    cleaned = clean(recording, marks)
    track = cleaned.track
    work = work_rate_w_per_kg(track, aim.body_mass_kg, aim.load_kg, aim.bike_mass_kg)
    climbs = find_climbs(track)
    account: TimeAccount | None = None
    episodes: tuple[Episode, ...] = ()
    longer: Extension | None = None
    if aim.band is not None:
        climbs = with_heart_rate(climbs, track, aim.band, out_of_band(track, aim.band, Direction.ABOVE))
        account = time_account(track, aim.band)
        episodes = find_episodes(track, work, aim.band, climbs)
        longer = extension(account, aim.target_s)
    return Review(
        recording=recording,
        aim=aim,
        marks=cleaned.marks,
        elevation=cleaned.elevation,
        track=track,
        work_w_per_kg=work,
        climbs=climbs,
        decoupling=decoupling(track, work),
        account=account,
        episodes=episodes,
        extension=longer,
        warnings=recording.warnings + cleaned.warnings + _missing(track),
    )


def _missing(track: Track) -> tuple[str, ...]:
    """Sentences on channels without which an answer is missing."""
    absent = []
    if not np.isfinite(track.hr_bpm).any():
        absent.append("The recording has no heart rate, so nothing can be counted in band.")
    if not np.isfinite(track.elevation_m).any():
        absent.append("The recording has no elevation, so climbs and work on grades are unknown.")
    if not np.isfinite(track.distance_m).any():
        absent.append("The recording has neither distance, speed nor position, so work rate is unknown.")
    return tuple(absent)
