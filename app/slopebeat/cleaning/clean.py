"""From a recording to the cleaned track every analysis reads."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.cleaning.elevation import WIDEST_SIGMA_S, Elevation, smooth_elevation
from slopebeat.cleaning.marks import find_marks
from slopebeat.cleaning.movement import Movement, movement
from slopebeat.cleaning.smoothing import smooth_rate
from slopebeat.model.marks import Channel, Mark
from slopebeat.model.message import Message, message
from slopebeat.model.numerics import median
from slopebeat.model.outing.records import covered
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import CountedTime, counted_time
from slopebeat.model.track import Array, Track

BIKE_MEDIAN_SPEED_MPS = 3.6
"""A recording that does not name its sport and moves faster than this (13 km/h) in the middle is taken
for a ride [project choice]."""

GRADE_SIGMA_M = 15.0
"""Ground over which grade is smoothed, as a Gaussian's deviation [project choice]: a switchback's arm."""


@dataclass(frozen=True, eq=False)
class Cleaned:
    """A cleaned recording: the track, its elevation and the marks that made it."""

    track: Track
    elevation: Elevation
    marks: tuple[Mark, ...]
    warnings: tuple[Message, ...]


def clean(recording: Recording, marks: tuple[Mark, ...] | None = None) -> Cleaned:
    """Clean one recording.

    ``marks`` replaces the marks this module would propose, once a user has decided on them.
    """
    column = dict(recording.samples)
    t = column["t_s"]
    counted = counted_time(t, recording.pauses)
    broken = counted.pause_s + counted.gap_s
    on_bike, warnings = _on_bike(recording, counted)
    if marks is None:
        marks = find_marks(recording, broken, on_bike)
    elevation = smooth_elevation(t, column["elevation_m"], column["distance_m"], broken, marks)
    moved = movement(column, elevation.rate_mps, broken, on_bike, marks)
    speed, climb_rate = _ground_rates(t, moved, elevation, broken)
    track = Track(
        t_s=t,
        recorded_s=counted.recorded_s,
        pause_s=counted.pause_s,
        gap_s=counted.gap_s,
        hr_bpm=unmarked_heart_rate(t, column["hr_bpm"], marks),
        elevation_m=elevation.smoothed_m,
        distance_m=moved.distance_m,
        speed_mps=speed,
        grade=_grade(speed, climb_rate, moved.moving),
        vertical_speed_mps=climb_rate,
        moving=moved.moving,
        power_w=np.where(covered(t, marks, Channel.POWER), np.nan, column["power_w"]),
        on_bike=on_bike,
    )
    return Cleaned(track, elevation, marks, warnings)


GROUND = (Channel.ELEVATION, Channel.POSITION, Channel.POWER)
"""Channels whose marks change more than the heart rate of a track."""


def with_marks(cleaned: Cleaned, recording: Recording, marks: tuple[Mark, ...]) -> Cleaned:
    """The recording cleaned by other marks; where those on its ground stay, only heart rate is made anew."""
    if _on_ground(marks) != _on_ground(cleaned.marks):
        return clean(recording, marks)
    track = cleaned.track
    heart = unmarked_heart_rate(track.t_s, recording.samples["hr_bpm"], marks)
    return replace(cleaned, track=replace(track, hr_bpm=heart), marks=marks)


def _on_ground(marks: tuple[Mark, ...]) -> list[Mark]:
    return [mark for mark in marks if mark.channel in GROUND]


def unmarked_heart_rate(t_s: Array, hr_bpm: Array, marks: tuple[Mark, ...]) -> Array:
    """Heart rate with NaN under every mark that counts."""
    return np.where(covered(t_s, marks, Channel.HEART_RATE), np.nan, hr_bpm)


def _ground_rates(t_s: Array, moved: Movement, elevation: Elevation, broken_s: Array) -> tuple[Array, Array]:
    """Horizontal and vertical speed smoothed alike, over ``GRADE_SIGMA_M`` of ground at the usual pace.

    A filter of a few seconds is right for ascent, but at walking pace it covers so little ground that a
    barometer's noise passes for slope.
    """
    usual = moved.speed_mps[moved.moving & np.isfinite(moved.speed_mps)]
    pace = median(usual) if usual.size else 0.0
    sigma = max(elevation.sigma_s, min(GRADE_SIGMA_M / pace, WIDEST_SIGMA_S) if pace > 0.0 else 0.0)
    speed = smooth_rate(t_s, moved.distance_m, sigma, broken_s)
    climb_rate = smooth_rate(t_s, elevation.level_m, sigma, broken_s)
    return np.maximum(speed, 0.0), climb_rate


def _grade(speed_mps: Array, climb_rate_mps: Array, moving: NDArray[np.bool_]) -> Array:
    """Rise over run, NaN while standing, where a ratio of two small numbers says nothing."""
    with np.errstate(divide="ignore", invalid="ignore"):
        grade = climb_rate_mps / speed_mps
    return np.where(moving & (speed_mps > 0.1), grade, np.nan)


def _on_bike(recording: Recording, counted: CountedTime) -> tuple[bool, tuple[Message, ...]]:
    if recording.sport is Sport.OTHER:
        return False, (message("sport.not_modelled"),)
    if recording.sport is not Sport.UNKNOWN:
        return recording.sport.on_bike, ()
    distance = recording.samples["distance_m"]
    recorded = counted.recorded_s[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        speed = np.diff(distance) / recorded
    moving = speed[np.isfinite(speed) & (speed > 0.3)]
    if moving.size == 0:
        return False, (message("sport.taken_for_foot"),)
    ride = median(moving) > BIKE_MEDIAN_SPEED_MPS
    if ride:
        return True, (message("sport.fast_is_ride"),)
    return False, (message("sport.slow_is_foot"),)
