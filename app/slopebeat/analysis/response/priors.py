"""What is known of any heart's response before an outing is read.

One outing cannot tell everything: what climbing costs, how fast a heart answers, how much it drifts. What is
published, or was chosen on simulated outings and checked on others, stands here as means and standard
deviations. They inform the row of one outing; what is compared over months is read without that on drift.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.lag import Array
from slopebeat.analysis.response.mixture import COEFFICIENTS
from slopebeat.analysis.response.noise import Noise
from slopebeat.analysis.response.work_rate import STANDING_W

TAUS_S = np.geomspace(20.0, 150.0, 9)
TAU_S, TAU_LOG_SD = 57.6, 0.4
"""Time constant 57.6 s; its spread between people 23.6 s, as a share (Hunt 2015,
doi:10.1186/s12938-015-0112-7)."""

DELAYS_S = (0.0, 5.0, 10.0, 15.0)
"""A first-order answer after a dead time is adequate on treadmill and cycle (Hunt & Wang 2024, F1000Research
13:894); these delays are alike likely [project choice]."""

SLOW_S = 200.0
"""Time constant of the slow part of the answer to work [project choice]; two parts fit better than one
(doi:10.1186/s12938-021-00875-7)."""

SLOW_SHARE, SLOW_SHARE_SD = 0.20, 0.15
"""The slow part as a share of the whole answer [project choice]."""

DRIFT_BPM_PER_H, DRIFT_SD_BPM_PER_H = 3.0, 3.0
"""Rise at unchanged work [project choice], about what was measured indoors: 2 % in half an hour at 22 degrees
(Lafrenz 2008, doi:10.1249/MSS.0b013e3181666ed7), 9 bpm in two hours (Stevenson 2022,
doi:10.1007/s00421-022-05036-9). It gives nearly all the accuracy, so months are read without it."""

STANDING_BPM, STANDING_SD_BPM, STANDING_AT_S = 75.0, 30.0, 600.0
"""Heart rate ten minutes in at the work of standing, or coasting: weak on purpose [project choice]."""

CLIMB_W_PER_KG_PER_MPS = {False: 40.0, True: 12.0}
"""By on_bike, work of a metre a second climbed: gravity over an efficiency of a quarter on foot; gravity on
rider and bike over the rider's mass."""

SLOPE_SHARE, WIDE_SLOPE_SHARE = 0.12, 0.5
"""How far the cost of climbing may be wrong, as a share of it: the error of published curves, and no
more than a limit where outings are to be pooled [project choice]."""

WORK_SD = 50.0
"""Beats per W/kg far above any heart: no prior of its own, only what follows from standing."""

NOISES = tuple(
    Noise(quick_s, slow_s, ratio)
    for quick_s in (20.0, 60.0, 150.0)
    for slow_s in (900.0, 5400.0)
    for ratio in (0.05, 0.3, 1.0, 4.0)
)
"""Errors that last: heat, wind, food and ground are remembered from seconds to hours; errors with short
memories alone make intervals too narrow [project choice]."""

FIRST_NOISE = Noise(40.0, 600.0, 0.3)
"""The one under which kinetics are compared first [project choice]."""

DOUBT_FLOOR, DOUBT_PER_H, DOUBT_OF_GROUND = 0.3, 0.1, 0.10
"""Points of decoupling in quadrature that the scatter cannot show: at least, for each hour fitted (a drift
that bends), and of what the ground moved heart rate by between the halves (its cost is known to about a
tenth) [project choice, chosen on simulated outings and checked on others]."""


@dataclass(frozen=True)
class Knowledge:
    """Which priors count."""

    drift: bool = True
    standing: bool = True
    slope_share: float = SLOPE_SHARE


INFORMED = Knowledge()
WITHOUT_DRIFT = Knowledge(drift=False)
OWN = Knowledge(drift=False, standing=False, slope_share=WIDE_SLOPE_SHARE)


@dataclass(frozen=True, eq=False)
class Scale:
    """What the priors of one outing are measured in.

    Attributes
    ----------
    on_bike : kind of movement. mean_hr_bpm, mean_work : of what is fitted. centre_t_s : its mean time.
    """

    on_bike: bool
    mean_hr_bpm: float
    mean_work: float
    centre_t_s: float

    @property
    def gain(self) -> float:
        """Beats per W/kg of the line through standing heart rate and the outing's mean."""
        above = max(self.mean_work - STANDING_W[self.on_bike], 0.3)
        return max((self.mean_hr_bpm - STANDING_BPM) / above, 1.0)


def prior(known: Knowledge, scale: Scale, centre: Array) -> tuple[Array, Array]:
    """Precision (k, 6, 6) of the coefficients and precision times mean (k, 6).

    Parameters
    ----------
    centre : (k, 4) mean lagged inputs of each pair of kinetics, which the first coefficient is at.
    """
    slope_sd = known.slope_share * scale.gain * CLIMB_W_PER_KG_PER_MPS[scale.on_bike]
    deviations = np.array([np.inf, np.inf, WORK_SD, slope_sd, slope_sd, SLOW_SHARE_SD * scale.gain])
    means = np.array([0.0, 0.0, 0.0, 0.0, 0.0, SLOW_SHARE * scale.gain])
    if known.drift:
        deviations[1], means[1] = DRIFT_SD_BPM_PER_H / 3600.0, DRIFT_BPM_PER_H / 3600.0
    precision = np.repeat(np.diag(deviations**-2.0)[None], len(centre), axis=0)
    pull = np.repeat((means * deviations**-2.0)[None], len(centre), axis=0)
    if known.standing:
        standing = np.zeros((len(centre), COEFFICIENTS))
        standing[:, 0] = 1.0
        standing[:, 1] = STANDING_AT_S - scale.centre_t_s
        standing[:, 2:] = -centre
        standing[:, 2] += STANDING_W[scale.on_bike]
        precision += standing[:, :, None] * standing[:, None, :] / STANDING_SD_BPM**2
        pull += standing * STANDING_BPM / STANDING_SD_BPM**2
    return precision, pull


def log_prior_of_tau(tau_s: Array) -> Array:
    """Log density of the time constants, up to a constant."""
    return np.asarray(-0.5 * (np.log(tau_s / TAU_S) / TAU_LOG_SD) ** 2)
