"""Why each recorded second did not count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.response.lag import lag_at
from slopebeat.model.bands import Band
from slopebeat.model.language import mark
from slopebeat.model.track import Array, Track

CLIMBING_GRADE = 0.03
"""Steeper than this, up or down, and the ground is the cause [project choice, as for climbs]."""

WARM_UP_S = 600.0
"""Below the band this soon after the start is warming up [project choice]; heart rate settles in minutes,
drift starts after about 10 (Wingo 2012, doi:10.1097/JES.0b013e31824c43af)."""

TYPICAL_LAG_S = 57.6
"""Time constant of the heart's answer to work (Hunt 2015, doi:10.1186/s12938-015-0112-7), used for the
grade that explains a heart rate when no fit gives the athlete's own."""

STEP_S = 5.0
"""Step of the even grid the lag runs on."""


class Cause(StrEnum):
    """Why a second was not in band, as said on screen."""

    STEEP_CLIMB = mark("steep climb")
    SURGE = mark("surge")
    DRIFT = mark("drift")
    DESCENT = mark("descent")
    STOP = mark("stop")
    WARM_UP = mark("warm-up")
    EASY_GROUND = mark("easy ground")
    SENSOR_DOUBT = mark("sensor doubt")


EXPLANATIONS: Mapping[Cause, str] = {
    Cause.STEEP_CLIMB: mark("above the band after a minute on a grade over 3 %"),
    Cause.SURGE: mark("above the band after work over the ceiling on gentle ground"),
    Cause.DRIFT: mark("above the band at a work rate that stayed inside it early on"),
    Cause.DESCENT: mark("below the band after a minute on a grade under -3 %"),
    Cause.STOP: mark("below the band while standing with the timer running"),
    Cause.WARM_UP: mark("below the band in the first ten minutes"),
    Cause.EASY_GROUND: mark("below the band on gentle ground: the effort was too low for it"),
    Cause.SENSOR_DOUBT: mark("heart rate absent or marked as doubtful"),
}

ORDER = tuple(Cause)
NOT_OUT = -1
"""Code of a sample that is in band or stands for no recorded time."""


@dataclass(frozen=True, eq=False)
class Causes:
    """Seconds by cause, and the cause of each sample.

    Attributes
    ----------
    seconds : every cause, 0 included; they sum to the recorded time that was not in band.
    code : (n,) index into :data:`ORDER`, ``NOT_OUT`` in band.
    """

    seconds: Mapping[Cause, float]
    code: NDArray[np.int8]

    def main_cause(self, track: Track, start_s: float, end_s: float) -> Cause | None:
        """The cause of most seconds in ``[start_s, end_s)``; None where none is out of band."""
        first, last = np.searchsorted(track.t_s, [start_s, end_s])
        code = self.code[first:last]
        out = code != NOT_OUT
        if not out.any():
            return None
        weight = np.bincount(code[out], weights=track.recorded_s[first:last][out], minlength=len(ORDER))
        return ORDER[int(np.argmax(weight))]


def find_causes(
    track: Track, band: Band, early_hr_bpm: Array | None = None, tau_s: float | None = None
) -> Causes:
    """Give every recorded second that was not in band exactly one cause.

    Parameters
    ----------
    early_hr_bpm : (n,) heart rate the fitted response expects with the drift taken out: what the same
        work would have cost early on. None or NaN where nothing was fitted; a high heart rate on gentle
        ground is then called a surge, because drift cannot be shown.
    tau_s : the athlete's fitted time constant.
    """
    state = band_state(track.hr_bpm, band)
    grade = lagged_grade(track, TYPICAL_LAG_S if tau_s is None else tau_s)
    code = np.full(len(track), NOT_OUT, dtype=np.int8)
    _put(code, state == BandState.NO_HEART_RATE, Cause.SENSOR_DOUBT)
    above, below = state == BandState.ABOVE, state == BandState.BELOW
    expected = np.full(len(track), np.inf) if early_hr_bpm is None else early_hr_bpm
    over_ceiling = ~(expected <= band.upper_bpm)
    _put(code, above & ~over_ceiling, Cause.DRIFT)
    _put(code, above & over_ceiling, Cause.SURGE)
    _put(code, above & over_ceiling & (grade > CLIMBING_GRADE), Cause.STEEP_CLIMB)
    _put(code, below, Cause.EASY_GROUND)
    _put(code, below & (grade < -CLIMBING_GRADE), Cause.DESCENT)
    _put(code, below & (track.t_s < WARM_UP_S), Cause.WARM_UP)
    _put(code, below & ~track.moving, Cause.STOP)
    seconds = {cause: float(np.sum(track.recorded_s[code == index])) for index, cause in enumerate(ORDER)}
    return Causes(seconds, code)


def lagged_grade(track: Track, tau_s: float) -> Array:
    """Grade as the heart has it in its bones: lagged by the first-order response, level while standing."""
    if len(track) < 2:
        return np.zeros(len(track))
    now = np.where(track.moving, np.nan_to_num(track.grade), 0.0)
    grid = np.arange(0.0, track.t_s[-1] + STEP_S, STEP_S)
    held = now[np.maximum(np.searchsorted(track.t_s, grid, side="right") - 1, 0)]
    # After a pause or gap the heart has long forgotten the ground before it.
    broken = (track.pause_s + track.gap_s)[np.maximum(np.searchsorted(track.t_s, grid, "right") - 1, 0)]
    return lag_at(np.where(broken > 0.0, 0.0, held), STEP_S, tau_s, track.t_s)


def _put(code: NDArray[np.int8], where: NDArray[np.bool_], cause: Cause) -> None:
    code[where] = ORDER.index(cause)
