"""The way of one reviewed outing, as the library keeps it."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.ground.plane import WayLine, thinned_line
from slopebeat.analysis.response.grid import STEP_S
from slopebeat.analysis.response.lag import held_integral
from slopebeat.model.marks import Channel
from slopebeat.model.notes import Note
from slopebeat.model.outing.records import covered, load_from_notes
from slopebeat.model.track import Array
from slopebeat.model.way import Way, WayFacts, WayValues
from slopebeat.review.evidence import Measured, activity_key


def way_of(review: Measured, notes: tuple[Note, ...] = ()) -> Way:
    """The way of an outing; without points where the recording has no positions.

    Parameters
    ----------
    notes : those the outing was reviewed with; they may tell what was carried when.
    """
    samples = review.recording.samples
    t_s = review.track.t_s
    doubted = covered(t_s, review.marks, Channel.POSITION)
    lat, lon = (np.where(doubted, np.nan, samples[name]) for name in ("lat_deg", "lon_deg"))
    line = thinned_line(t_s, lat, lon)
    temperature = samples["temperature_c"][np.isfinite(samples["temperature_c"])]
    facts = WayFacts(
        start_utc=review.recording.start_utc,
        utc_offset_s=review.recording.utc_offset_s,
        kind=activity_key(review),
        sport=str(review.recording.sport),
        on_bike=review.track.on_bike,
        work_source=review.work_source,
        temperature_c=float(temperature.mean()) if temperature.size else None,
    )
    return Way(line.points, _values(review, notes, line), facts)


def _values(review: Measured, notes: tuple[Note, ...], line: WayLine) -> WayValues:
    track, at = review.track, line.t_s
    if not at.size:
        return WayValues(*np.zeros((6, 0)))
    edges = np.append(at, at[-1])
    moving = track.moving_s
    hr_known = np.isfinite(track.hr_bpm)
    beats = held_integral(track.t_s, moving, np.where(hr_known, track.hr_bpm, 0.0), edges)
    trusted_s = held_integral(track.t_s, moving, hr_known.astype(float), edges)
    known = np.isfinite(track.elevation_m)
    return WayValues(
        t_s=at,
        moving_s=held_integral(track.t_s, moving, np.ones(moving.shape), edges),
        elevation_m=np.interp(at, track.t_s[known], track.elevation_m[known]) if known.any() else at * np.nan,
        hr_bpm=_ratio(beats, trusted_s),
        work_w_per_kg=_answered_work(review, at),
        load_kg=load_from_notes(notes, at, review.aim.load_at(at)),
    )


def _answered_work(review: Measured, at_s: Array) -> Array:
    """Work rate as a heart answers it, late and smoothed, at some moments; NaN without a work rate."""
    if review.work_source is None:
        return np.full(at_s.shape, np.nan)
    lagged = review.grid.lagged[:, 0]
    return np.asarray(np.interp(at_s, (np.arange(lagged.size) + 0.5) * STEP_S, lagged))


def _ratio(sums: Array, weights: Array) -> Array:
    enough = weights > 1e-6
    return np.asarray(np.divide(sums, weights, out=np.full(sums.shape, np.nan), where=enough))
