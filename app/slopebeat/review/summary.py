"""One review as the row of numbers the months keep."""

from __future__ import annotations

from typing import Any

import numpy as np

from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.level_speed import LevelSpeed, level_speed
from slopebeat.analysis.response.work_rate import steady_work
from slopebeat.model.bands import Band
from slopebeat.model.evidence import EDGE_OFF_BPM, OutingSummary
from slopebeat.model.marks import Channel, MarkState
from slopebeat.model.outing.records import covered
from slopebeat.model.recording import title_of
from slopebeat.model.track import CLIMBING_GRADE, Track
from slopebeat.model.units import finite
from slopebeat.review.assessment import mean_height_m
from slopebeat.review.evidence import Measured

COMPUTATION_VERSION = 8
"""Raised by one whenever cleaning or analysis give other numbers: kept summaries are then computed again."""


def summarise(review: Measured) -> OutingSummary:
    """The numbers of a review that months compare; None for what is unknown.

    Terrain-fair figures are there only where the fit is usable, however wide their interval.
    """
    recording, track, account = review.recording, review.track, review.account
    band = review.aim.band
    fair_percent, fair_low, fair_high, drift = terrain_fair_figures(review)
    speed, speed_low, speed_high = mid_band_speed_figures(review)
    return OutingSummary(
        start_utc=recording.start_utc,
        utc_offset_s=recording.utc_offset_s,
        sport=str(recording.sport),
        on_bike=track.on_bike,
        title=title_of(recording),
        recorded_s=float(np.sum(track.recorded_s)),
        moving_s=float(np.sum(track.moving_s)),
        distance_m=finite(track.distance_m[-1] - track.distance_m[0]) if len(track) else None,
        ascent_m=finite(review.elevation.ascent_m),
        load_kg=review.load_kg,
        band_lower_bpm=None if band is None else band.lower_bpm,
        band_upper_bpm=None if band is None else band.upper_bpm,
        in_band_s=None if account is None else account.in_band_s,
        above_s=None if account is None else account.above_s,
        below_s=None if account is None else account.below_s,
        no_hr_s=None if account is None else account.no_hr_s,
        yield_share=None if account is None else account.share(account.in_band_s),
        steep_share=steep_share(track),
        pace_percent=finite(review.decoupling.pace.percent),
        work_percent=finite(review.decoupling.work.percent),
        terrain_fair_percent=fair_percent,
        terrain_fair_low=fair_low,
        terrain_fair_high=fair_high,
        drift_bpm_per_h=drift,
        mid_band_speed_mps=speed,
        mid_band_speed_low_mps=speed_low,
        mid_band_speed_high_mps=speed_high,
        **_with_edges_off(track, band),
        **_doubted(review),
    )


def _doubted(review: Measured) -> dict[str, Any]:
    """How many marks nobody has decided on, and seconds of heart rate under those that count."""
    track = review.track
    doubted = covered(track.t_s, review.marks, Channel.HEART_RATE)
    return {
        "doubts": sum(mark.state is MarkState.PROPOSED for mark in review.marks),
        "doubtful_s": float(np.sum(track.recorded_s[doubted])),
    }


def _with_edges_off(track: Track, band: Band | None) -> dict[str, Any]:
    """Seconds above and below a band whose edges lie :data:`EDGE_OFF_BPM` off; nothing without a band."""
    if band is None:
        return {}
    hr, seconds = track.hr_bpm, track.recorded_s
    upper, lower, off = band.upper_bpm, band.lower_bpm, EDGE_OFF_BPM
    # A heart rate that is absent is neither above nor below anything.
    return {
        "above_upper_down_s": float(np.sum(seconds[hr > upper - off])),
        "above_upper_up_s": float(np.sum(seconds[hr > upper + off])),
        "below_lower_down_s": float(np.sum(seconds[hr < lower - off])),
        "below_lower_up_s": float(np.sum(seconds[hr < lower + off])),
    }


def steep_share(track: Track) -> float | None:
    """Share of the moving time of known grade on grades over 3 %, up or down; None without any grade."""
    known = np.isfinite(track.grade)
    moving = float(np.sum(track.moving_s[known]))
    if moving <= 0.0:
        return None
    return float(np.sum(track.moving_s[known & (np.abs(track.grade) > CLIMBING_GRADE)])) / moving


def terrain_fair_figures(review: Measured) -> tuple[float | None, float | None, float | None, float | None]:
    """Terrain-fair decoupling with its interval, %, and the drift, bpm/h; None where the fit is unusable.

    Without what is known of drifts beforehand: figures drawn towards the usual would hide that they change.
    """
    fair, raw = review.terrain_fair, review.response.raw
    if fair.status not in (FitStatus.USABLE, FitStatus.UNDECIDED):
        return None, None, None, None
    low, high = fair.raw_interval_percent or (None, None)
    drift = None if raw is None else float(raw.mean[1]) * 3600.0
    return finite(fair.raw_percent), finite(low), finite(high), finite(drift)


def mid_band_speed_figures(review: Measured) -> tuple[float | None, float | None, float | None]:
    """Flat-equivalent speed at the band's middle with its interval, m/s; an open end is None."""
    level = mid_band_speed(review)
    if level is None:
        return None, None, None
    return finite(level.speed_mps), finite(level.low_mps), finite(level.high_mps)


def mid_band_speed(review: Measured) -> LevelSpeed | None:
    """Level speed, without any load, whose steady heart rate is the band's middle; None where unknown."""
    aim, track = review.aim, review.track
    if aim.band is None:
        return None
    masses = (aim.body_mass_kg, 0.0, aim.bike_mass_kg)
    work = steady_work(track.on_bike, *masses, mean_height_m(track), review.road_load)
    return level_speed(review.response, aim.band.middle_bpm, work, track.on_bike)
