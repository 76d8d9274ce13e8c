"""What the months keep of one reviewed outing: a row of numbers that can be recomputed from the file."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.model.codec import Instant

EDGE_OFF_BPM = 3
"""An edge is moved by so much, either way, to show what hangs on it [project choice]."""


@dataclass(frozen=True)
class OutingSummary:
    """One outing in numbers: seconds, metres, beats per minute; None where unknown.

    Attributes
    ----------
    start_utc : aware, UTC. utc_offset_s : local minus UTC where the file has it.
    recorded_s : without pauses and gaps; in_band_s, above_s, below_s, no_hr_s its parts.
    yield_share : in_band_s over the time with trusted heart rate; None where that is under half of it.
    steep_share : share of moving time on grades over 3 %, up or down: how much terrain there was.
    pace_percent, work_percent : plain decoupling rows.
    terrain_fair_percent, _low, _high : the row that may be compared across terrain, with its interval, as the
        outing alone has it: without what is known of drifts beforehand.
    drift_bpm_per_h : drift of the heart rate at equal work, in the same way.
    mid_band_speed_mps, _low, _high : flat-equivalent speed whose steady heart rate is the band's middle.
    above_upper_down_s, above_upper_up_s : what above_s would be with the upper edge ``EDGE_OFF_BPM`` lower
        and higher; below_lower_down_s, below_lower_up_s : the same of below_s and the lower edge.
    doubts : marks nobody has decided on. doubtful_s : of heart rate under marks that count.
    """

    start_utc: Instant
    utc_offset_s: float | None
    sport: str
    on_bike: bool
    title: str
    recorded_s: float
    moving_s: float
    distance_m: float | None
    ascent_m: float | None
    load_kg: float
    band_lower_bpm: int | None
    band_upper_bpm: int | None
    in_band_s: float | None
    above_s: float | None
    below_s: float | None
    no_hr_s: float | None
    yield_share: float | None
    steep_share: float | None
    pace_percent: float | None
    work_percent: float | None
    terrain_fair_percent: float | None
    terrain_fair_low: float | None
    terrain_fair_high: float | None
    drift_bpm_per_h: float | None
    mid_band_speed_mps: float | None
    mid_band_speed_low_mps: float | None
    mid_band_speed_high_mps: float | None
    above_upper_down_s: float | None = None
    above_upper_up_s: float | None = None
    below_lower_down_s: float | None = None
    below_lower_up_s: float | None = None
    doubts: int | None = None
    doubtful_s: float | None = None
