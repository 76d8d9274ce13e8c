"""Heart rate that earlier outings show to be wrong, where they held such work, ground and hours.

Thresholds are project choices, made where heart rate was labelled by hand.
"""

from __future__ import annotations

from slopebeat.analysis.doubts.heart_rate import BRIDGED_S, LEAST_S
from slopebeat.analysis.doubts.steps import Mask, OutingSteps, filled, lasting
from slopebeat.analysis.response.foretell import Learnt
from slopebeat.model.marks import Reason
from slopebeat.model.track import Array

BELOW_BPM, BELOW_SDS, ABOVE_BPM, ABOVE_SDS = 15.0, 3.0, 25.0, 4.0
"""How far off is doubted: the larger of the two, and none where the spread makes it a wide one
[project choice]."""

MOST_BELOW_BPM, MOST_ABOVE_BPM = 31.0, 41.0
"""Earlier outings that foretell so loosely that the limit would be wider show nothing [project choice]."""

SURE_TIMES = 1.33
"""A low heart rate is doubted for two minutes at the limit, for one at so many times the limit
[project choice]."""


def doubts_by_earlier(steps: OutingSteps, learnt: Learnt, line: Array) -> dict[Reason, Mask]:
    """Stretches further from ``line`` (m,), which earlier outings foretell, than a day explains."""
    off = filled(steps.hr_bpm - line)
    ok = steps.live & learnt.known(steps.inputs) & steps.settled
    found: dict[Reason, Mask] = {}
    spread = learnt.spread_bpm
    low, high = max(BELOW_BPM, BELOW_SDS * spread), max(ABOVE_BPM, ABOVE_SDS * spread)
    if low < MOST_BELOW_BPM:
        long = lasting(ok & (off < -low), 2.0 * LEAST_S, BRIDGED_S)
        found[Reason.BELOW_EARLIER] = long | lasting(ok & (off < -SURE_TIMES * low), LEAST_S, BRIDGED_S)
    if high < MOST_ABOVE_BPM:
        found[Reason.ABOVE_EARLIER] = lasting(ok & (off > high), LEAST_S, BRIDGED_S)
    return found
