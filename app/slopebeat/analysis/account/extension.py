"""How much longer this kind of outing must last to collect the prescribed minutes in band."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, TimeAccount, band_state
from slopebeat.model.bands import Band
from slopebeat.model.track import Array, Track

BLOCK_S = 600.0
"""Length of the resampled blocks [project choice]: several minutes, because one minute's heart rate tells
the next, and as long as a climb of 60-100 m."""

BIN_S = 60.0
"""Recorded time is put into bins of this length before resampling."""

RESAMPLES = 1000
"""Enough for a 95 % interval that does not flicker from one run to the next."""

LEAST_BLOCKS = 3
"""Fewer blocks in an outing say nothing about its spread [project choice]."""


@dataclass(frozen=True)
class Extension:
    """The answer for one target.

    Attributes
    ----------
    yield_share : share of recorded time (without pauses and gaps) that is in band; None when nothing
        was recorded.
    target_s : prescribed time in band. in_band_s : what this outing gave.
    needed_s : recorded time this kind of outing needs for the target, ``target / yield``; None when no
        second was in band, because no length would reach the target.
    extra_s : ``needed_s - target_s``, the price of the terrain.
    missing_s : time in band still missing after this outing, never negative.
    more_s : recorded time more on this ground to collect what is missing.
    yield_low, yield_high, needed_low_s, needed_high_s : 95 % intervals by resampling stretches of this
        outing; None when it is too short to tell. ``needed_high_s`` is None when the low yield is 0, and
        ``needed_low_s`` too when even the high one is.
    """

    yield_share: float | None
    target_s: float
    in_band_s: float
    needed_s: float | None
    extra_s: float | None
    missing_s: float
    more_s: float | None
    yield_low: float | None = None
    yield_high: float | None = None
    needed_low_s: float | None = None
    needed_high_s: float | None = None


def extension(account: TimeAccount, target_s: float) -> Extension:
    """Needed and extra time for ``target_s`` seconds in band at this outing's yield."""
    missing = max(0.0, target_s - account.in_band_s)
    if account.recorded_s <= 0.0:
        return Extension(None, target_s, account.in_band_s, None, None, missing, None)
    share = account.in_band_s / account.recorded_s
    if share <= 0.0:
        more = 0.0 if missing == 0.0 else None
        return Extension(0.0, target_s, account.in_band_s, None, None, missing, more)
    needed = target_s / share
    return Extension(share, target_s, account.in_band_s, needed, needed - target_s, missing, missing / share)


def with_interval(answer: Extension, track: Track, band: Band) -> Extension:
    """The answer with its intervals, by a moving-block bootstrap over the recorded minutes."""
    interval = yield_interval(track, band)
    if interval is None or answer.needed_s is None:
        return answer
    low, high = interval
    return replace(
        answer,
        yield_low=low,
        yield_high=high,
        needed_low_s=_length_for(answer.target_s, high),
        needed_high_s=_length_for(answer.target_s, low),
    )


def _length_for(target_s: float, share: float) -> float | None:
    """Recorded time that collects the target at a yield; None where no length does."""
    return target_s / share if share > 0.0 else None


def yield_interval(track: Track, band: Band, seed: int = 0) -> tuple[float, float] | None:
    """95 % interval of the yield, had another stretch of such ground been recorded.

    Blocks of consecutive recorded minutes are drawn with replacement, around the end to the beginning,
    until they fill the outing again. The same recording always gives the same interval. None under
    ``LEAST_BLOCKS`` blocks.
    """
    inside = _binned(track, band_state(track.hr_bpm, band) == BandState.IN_BAND)
    blocks = inside.size * BIN_S / BLOCK_S
    if blocks < LEAST_BLOCKS:
        return None
    length = round(BLOCK_S / BIN_S)
    wrapped = np.cumsum(np.concatenate(([0.0], inside, inside[: length - 1])))
    sums = wrapped[length:] - wrapped[:-length]
    count = int(np.ceil(blocks))
    drawn = np.random.default_rng(seed).integers(0, inside.size, (RESAMPLES, count))
    # Blocks drawn from few blocks spread by (count - 1) / count too little.
    shares = sums[drawn].mean(axis=1) / BLOCK_S
    centre = float(inside.mean() / BIN_S)
    widened = centre + (shares - shares.mean()) * np.sqrt(count / (count - 1))
    low, high = np.quantile(np.clip(widened, 0.0, 1.0), [0.025, 0.975])
    return float(low), float(high)


def _binned(track: Track, inside: NDArray[np.bool_]) -> Array:
    """In-band seconds per full minute of recorded time."""
    spent = np.concatenate(([0.0], np.cumsum(track.recorded_s)))
    counted = np.concatenate(([0.0], np.cumsum(np.where(inside, track.recorded_s, 0.0))))
    edges = np.arange(0.0, spent[-1] + 1e-9, BIN_S)
    return np.diff(np.interp(edges, spent, counted))
