"""Climbs of an outing: where they are, how steep, and what the heart did on them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Climb:
    """One climb; None where the recording or the band does not say.

    Attributes
    ----------
    start_s, end_s : foot and top, seconds from the first record.
    foot_m, top_m : smoothed elevation there; gain_m their difference.
    length_m : distance along the ground; grade_mean = gain / length; grade_steepest over any 100 m.
    vertical_speed_m_per_h : gain over the recorded time from foot to top.
    hr_foot_bpm, hr_top_bpm : heart rate there.
    above_s : seconds over the band; share_above of the climb's recorded seconds.
    time_to_exit_s : from the foot to leaving the band upward; exit_grade, exit_speed_mps there.
    return_s : from the top until the heart rate is back inside the band.
    """

    start_s: float
    end_s: float
    start_m: float
    end_m: float
    foot_m: float
    top_m: float
    gain_m: float
    length_m: float
    grade_mean: float
    grade_steepest: float | None
    vertical_speed_m_per_h: float | None
    hr_foot_bpm: float | None = None
    hr_top_bpm: float | None = None
    above_s: float | None = None
    share_above: float | None = None
    time_to_exit_s: float | None = None
    exit_grade: float | None = None
    exit_speed_mps: float | None = None
    return_s: float | None = None
