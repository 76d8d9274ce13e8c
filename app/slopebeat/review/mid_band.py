"""Flat-equivalent speed at the middle of the band: the one speed months compare across terrain."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.response.level_speed import LevelSpeed, level_speed
from slopebeat.analysis.response.work_rate import steady_work
from slopebeat.review.outing import Review


def mid_band_speed(review: Review) -> LevelSpeed | None:
    """Level speed, without any load, whose steady heart rate is the band's middle; None where unknown."""
    aim, track = review.aim, review.track
    if aim.band is None:
        return None
    known = track.elevation_m[np.isfinite(track.elevation_m)]
    height = float(known.mean()) if known.size else 0.0
    work = steady_work(track.on_bike, aim.body_mass_kg, 0.0, aim.bike_mass_kg, height, review.road_load)
    return level_speed(review.response, aim.band.middle_bpm, work, track.on_bike)
