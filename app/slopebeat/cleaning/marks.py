"""Propose marks on ranges of a recording that should not be taken at face value."""

from __future__ import annotations

import numpy as np

from slopebeat.cleaning.ground import ground_marks
from slopebeat.cleaning.heart_rate import heart_rate_marks
from slopebeat.model.geodesy import great_circle_m
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.track import Array

FASTEST_ON_FOOT_MPS = 12.0
"""Faster than any runner (sprint world records average under 10.5 m/s): a jump of the position."""

FASTEST_ON_BIKE_MPS = 40.0
"""Faster than a descent on a road bike [project choice]: a jump of the position."""

STEEPEST_STEP_MPS = 5.0
"""Vertical speed no walker or rider keeps over one record [project choice]."""

SMALLEST_STEP_M = 8.0
"""Smaller steps of elevation are noise to be smoothed, not marked [project choice]."""

SHORTEST_STEP_S = 5.0
"""A step happens within this time; a longer silence may hide a real ascent [project choice]."""


def find_marks(recording: Recording, broken_s: Array, on_bike: bool) -> tuple[Mark, ...]:
    """Every doubted range, in order of time.

    Parameters
    ----------
    broken_s : (n,) seconds of pause and gap after each sample.
    """
    samples = recording.samples
    column = {name: samples[name] for name in samples.columns}
    marks = heart_rate_marks(column, broken_s, on_bike)
    # A named sport that is neither, like skiing, may be as fast as a bike.
    marks += _position_jumps(column, broken_s, on_bike or recording.sport is Sport.OTHER)
    marks += _elevation_steps(column["t_s"], column["elevation_m"])
    marks += ground_marks(column, broken_s)
    return tuple(sorted(marks, key=lambda mark: (mark.start_s, mark.channel)))


def _position_jumps(column: dict[str, Array], broken_s: Array, fast: bool) -> list[Mark]:
    """Steps of distance, else of position, no one covers in the time; also the record after a restart,
    whose speed spans the pause."""
    t = column["t_s"]
    if t.size < 2:
        return []
    step = np.diff(column["distance_m"])
    if not np.isfinite(step).any():
        lat, lon = column["lat_deg"], column["lon_deg"]
        step = great_circle_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    limit = FASTEST_ON_BIKE_MPS if fast else FASTEST_ON_FOOT_MPS
    with np.errstate(invalid="ignore"):
        jumps = np.flatnonzero(step > limit * np.diff(t))
    after_pause = np.concatenate(([False], broken_s[:-1] > 0.0))
    return [
        Mark(
            float(t[i]),
            float(t[i + 1]),
            Channel.POSITION,
            Reason.AFTER_RESTART if broken_s[i] > 0.0 or after_pause[i] else Reason.POSITION_JUMP,
        )
        for i in jumps
    ]


def _elevation_steps(t: Array, elevation: Array) -> list[Mark]:
    """Steps between two neighbouring elevations, like a barometer being calibrated."""
    known = np.flatnonzero(np.isfinite(elevation))
    if known.size < 2:
        return []
    rise, time = np.abs(np.diff(elevation[known])), np.diff(t[known])
    steps = (rise > SMALLEST_STEP_M) & (rise > STEEPEST_STEP_MPS * time) & (time <= SHORTEST_STEP_S)
    return [
        Mark(float(t[known[i]]), float(t[known[i + 1]]), Channel.ELEVATION, Reason.ELEVATION_STEP)
        for i in np.flatnonzero(steps)
    ]
