"""Outings as they teach later ones, made of a normal distribution of the heart rate."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
from scipy.special import ndtr

from slopebeat.model.evidence import PastOuting

START = datetime(2026, 4, 1, 7, 0, tzinfo=UTC)


def past(
    mean: float,
    spread: float,
    number: int = 0,
    hours: float = 1.5,
    *,
    variation: float | None = 0.4,
    on_bike: bool = True,
    indoors: bool = False,
) -> PastOuting:
    """An outing whose heart rate is normally distributed, on the day of this number."""
    bpm = np.arange(50, 231)
    share = np.diff(ndtr((np.append(bpm, 231) - 0.5 - mean) / spread))
    seconds = 3600.0 * hours
    return PastOuting(
        start_utc=START + timedelta(days=number),
        on_bike=on_bike,
        recorded_s=seconds,
        moving_s=seconds,
        pause_s=0.0,
        distance_m=None,
        ascent_m=None,
        hr_from_bpm=50,
        hr_seconds=tuple((seconds * share).tolist()),
        work_variation=variation,
        start_lat_deg=None if indoors else 46.5,
        start_lon_deg=None if indoors else 8.0,
    )


def season(rng: np.random.Generator, count: int) -> list[PastOuting]:
    """Outings about 140 bpm, one a day."""
    means, spreads = rng.normal(140.0, 7.0, count), np.exp(rng.normal(np.log(12.0), 0.2, count))
    return [past(m, s, i) for i, (m, s) in enumerate(zip(means, spreads, strict=True))]
