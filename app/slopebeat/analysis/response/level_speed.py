"""The level speed a heart rate is worth: flat-equivalent speed, comparable across terrain and over months."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.ceiling import Work, first_over, steady_heart_rate
from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.model.numerics import REACH_95

AT_S = 600.0
"""Time into the outing it is given for: just after warming up, so that a lasting drift, which has a figure of
its own, does not enter [project choice]."""

SLOWEST_MPS = 0.3
FASTEST_MPS = {False: 7.0, True: 14.0}
"""Level speeds searched, by on_bike [project choice]: faster than anyone runs an hour, 21 km in 2025, from
memory, is 5.9 m/s."""

STEPS = 800
SEEN_PERCENTILES, BEYOND_SEEN_BPM = (1.0, 99.0), 8.0
"""The heart rate has to lie among those fitted, or this little beyond: an even walk at 110 bpm still says
something of 118 bpm, with a wider interval, and nothing of 150 bpm [project choice]."""


@dataclass(frozen=True)
class LevelSpeed:
    """Speed in m/s with its 95 % interval; an end is None where it is open within the speeds searched."""

    speed_mps: float
    low_mps: float | None
    high_mps: float | None


def level_speed(response: Response, hr_bpm: float, work: Work, on_bike: bool) -> LevelSpeed | None:
    """Level speed whose steady heart rate is ``hr_bpm`` under a fitted response.

    Parameters
    ----------
    work : ``work(speed_mps, grade)``, W/kg: the cost the response was fitted on.

    Returns
    -------
    None when the fit is not usable, or the heart rate lies far outside what was seen.
    """
    fitted = response.fitted_hr_bpm
    if response.posterior is None or response.status is not FitStatus.USABLE or fitted is None:
        return None
    low, high = np.nanpercentile(fitted, SEEN_PERCENTILES)
    if not low - BEYOND_SEEN_BPM <= hr_bpm <= high + BEYOND_SEEN_BPM:
        return None
    speed = np.linspace(SLOWEST_MPS, FASTEST_MPS[on_bike], STEPS)
    cost = np.asarray(work(speed, np.zeros_like(speed)), float)
    steady, error = steady_heart_rate(response, cost, np.zeros_like(speed), AT_S)
    reach = REACH_95 * error
    found = (first_over(speed, rate, hr_bpm) for rate in (steady, steady + reach, steady - reach))
    middle, low, high = (None if np.isnan(each) else each for each in found)
    return None if middle is None else LevelSpeed(middle, low, high)
