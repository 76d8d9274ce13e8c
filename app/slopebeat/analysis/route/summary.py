"""Outings drawn along a way summed up: medians, intervals, and shares on each side of the band."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.episodes import BRIDGED_BREAK_S, SHORTEST_EPISODE_S
from slopebeat.analysis.route.forecast import Forecast
from slopebeat.analysis.route.plan import (
    INTERVAL_LEVEL,
    ClimbCourse,
    Course,
    Range,
    Strategy,
    StrategyName,
)
from slopebeat.analysis.route.profile import RouteGround
from slopebeat.analysis.route.simulation import TIME_STEP_S, Runs
from slopebeat.model.bands import Band
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array

PEAK_OVER_S = 60.0
"""A peak is the highest mean over this long, so that a single beat is none [project choice]."""

QUANTILES = (0.5, 0.5 - INTERVAL_LEVEL / 2.0, 0.5 + INTERVAL_LEVEL / 2.0)


def range_of(values: Array) -> Range:
    """Median and interval of the runs; infinite values are kept as such."""
    # A value that occurred, not one between two: between a number and infinity there is none.
    return Range(*np.quantile(values, QUANTILES, method="inverted_cdf").tolist())


def seconds_by_side(runs: Runs, band: Band) -> dict[int, Array]:
    """(m,) seconds below (-1), in band (0) and above (1) of each run."""
    lasts = runs.lasts_s
    # Nothing lies on either side of what is not a number, which is where a run has ended.
    below, above = runs.hr_bpm < band.lower_bpm, runs.hr_bpm > band.upper_bpm
    inside = np.isfinite(runs.hr_bpm) & ~below & ~above
    parts = {-1: below, 0: inside, 1: above}
    return {code: np.asarray(np.sum(lasts, axis=1, where=part)) for code, part in parts.items()}


def joined_sides_s(cast: Forecast, runs: Runs, band: Band) -> dict[int, Array]:
    """(m,) seconds on each side of the band of every draw of a forecast.

    Mean and spread say how far minutes differ from outing to outing; where the ground explains the spread,
    its own course says where their middle lies.
    """
    names = (-1, 0, 1)
    parts = dict(zip(names, cast.sides_s(band), strict=True))
    along, count = seconds_by_side(runs, band), runs.total_s.size
    moved = {
        side: np.maximum(parts[side] + runs.ground_share * np.mean(along[side] - parts[side][:count]), 0.0)
        for side in names
    }
    total = np.sum([moved[side] for side in names], axis=0)
    return {side: np.asarray(moved[side] * cast.total_s / np.maximum(total, 1e-9)) for side in names}


def strategy_of(
    name: StrategyName,
    hold_bpm: float | None,
    cast: Forecast,
    runs: Runs,
    ground: RouteGround,
    band: Band,
    target_s: float,
    seen: np.ndarray,
) -> Strategy:
    """The whole outing in one strategy. ``seen`` (n,) tells which steps lie on grades gone before."""
    parts = joined_sides_s(cast, runs, band)
    inside, total = parts[0], cast.total_s
    missing = np.maximum(target_s - inside, 0.0)
    share = inside / total
    with np.errstate(divide="ignore", invalid="ignore"):
        extra = np.where(missing > 0.0, missing / share, 0.0)
    return Strategy(
        name=name,
        hold_bpm=hold_bpm,
        mean_bpm=range_of(cast.mean_bpm),
        total_s=range_of(total),
        moving_s=range_of(cast.moving_s),
        pause_s=range_of(cast.pause_s),
        in_band_s=range_of(inside),
        above_s=range_of(parts[1]),
        below_s=range_of(parts[-1]),
        yield_share=range_of(share),
        episodes_above=range_of(_episode_counts(runs, band, 1)),
        episodes_below=range_of(_episode_counts(runs, band, -1)),
        missing_s=range_of(missing),
        extra_s=range_of(extra),
        target_probability=float(np.mean(missing <= 0.0)),
        course=_course(runs, ground, band, seen),
    )


def _course(runs: Runs, ground: RouteGround, band: Band, seen: np.ndarray) -> Course:
    last = np.maximum(np.ceil(runs.total_s / TIME_STEP_S).astype(int) - 1, 0)
    at = np.minimum((runs.reach_s / TIME_STEP_S).astype(int), last[:, None])
    hr = np.take_along_axis(runs.hr_bpm, at, axis=1)
    middle, low, high = np.quantile(hr, QUANTILES, axis=0)
    side = band.side(hr)
    return Course(
        distance_m=ground.distance_m,
        elevation_m=ground.elevation_m,
        grade=np.append(ground.grade, ground.grade[-1]),
        seen=np.append(seen, seen[-1]),
        reach_s=np.median(runs.reach_s, axis=0),
        speed_mps=np.median(np.hstack([runs.speed_mps, runs.speed_mps[:, -1:]]), axis=0),
        hr_bpm=middle,
        hr_low_bpm=low,
        hr_high_bpm=high,
        p_below=np.mean(side < 0, axis=0),
        p_in_band=np.mean(side == 0, axis=0),
        p_above=np.mean(side > 0, axis=0),
    )


def climb_course(climb: Climb, runs: Runs, ground: RouteGround, band: Band) -> ClimbCourse:
    """What is expected on one climb."""
    from scipy.ndimage import uniform_filter1d

    foot, top = climb_steps(climb, ground)
    reach, left = runs.reach_s[:, foot], runs.reach_s[:, top]
    moving = (left - reach) * runs.moving_share
    # Only while any of the runs is on the climb, and the minute about it.
    first = max(int((reach.min() - PEAK_OVER_S) / TIME_STEP_S), 0)
    while_on = slice(first, int((left.max() + PEAK_OVER_S) / TIME_STEP_S) + 1)
    place, hr = runs.place_m[:, while_on], runs.hr_bpm[:, while_on]
    here = (place >= ground.distance_m[foot]) & (place < ground.distance_m[top])
    known = np.isfinite(hr)
    above = here & (hr > band.upper_bpm)
    # Walking out of the picture, the last value is held: it belongs to nobody's climb.
    filled = np.where(known, hr, np.nanmin(hr))
    smooth = uniform_filter1d(filled, round(PEAK_OVER_S / TIME_STEP_S), axis=1)
    arrive = np.clip((left / TIME_STEP_S).astype(int) - first, 1, hr.shape[1] - 1)
    exits, counts = _exits(above, place, float(ground.distance_m[foot]))
    return ClimbCourse(
        reach_s=range_of(reach),
        duration_s=range_of(left - reach),
        speed_mps=range_of((ground.distance_m[top] - ground.distance_m[foot]) / moving),
        vertical_m_per_h=range_of(3600.0 * climb.gain_m / moving),
        hr_top_bpm=range_of(filled[np.arange(arrive.size), arrive - 1]),
        hr_peak_bpm=range_of(np.max(np.where(here, smooth, 0.0), axis=1)),
        above_s=range_of(np.sum(runs.lasts_s[:, while_on], axis=1, where=above)),
        exit_probability=float(np.mean(np.isfinite(exits))),
        exit_after_m=float(np.median(exits[np.isfinite(exits)])) if np.isfinite(exits).any() else None,
        episodes_above=range_of(counts),
    )


def climb_steps(climb: Climb, ground: RouteGround) -> tuple[int, int]:
    """Indices of the ends of steps at foot and top."""
    foot = round(climb.start_m / ground.step_m)
    return foot, max(round(climb.end_m / ground.step_m), foot + 1)


def _episode_counts(runs: Runs, band: Band, side: int) -> Array:
    """(m,) number of episodes on one side of the band in each run."""
    beyond = runs.hr_bpm > band.upper_bpm if side > 0 else runs.hr_bpm < band.lower_bpm
    run, _ = _episodes(beyond)
    return np.bincount(run, minlength=beyond.shape[0]).astype(float)


def _episodes(out: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Run and first step of each episode, by the rules that hold for a recorded outing.

    Parameters
    ----------
    out : (m, k) whether each run is out of band on one side at each step.
    """
    # All runs as one long outing, with so much between them that nothing reaches from one into the next.
    apart = int(np.ceil(BRIDGED_BREAK_S / TIME_STEP_S))
    row = np.pad(out, ((0, 0), (0, apart))).ravel()
    found = Spans.from_mask(TIME_STEP_S * np.arange(row.size), row)
    episodes = found.bridged(BRIDGED_BREAK_S).at_least(SHORTEST_EPISODE_S)
    first = np.rint(episodes.start_s / TIME_STEP_S).astype(int)
    return first // (out.shape[1] + apart), first % (out.shape[1] + apart)


def _exits(above: np.ndarray, place_m: Array, foot_m: float) -> tuple[Array, Array]:
    """Metres from the foot to the first episode over the band of each run (NaN: none), and how many."""
    run, step = _episodes(above)
    first = np.full(above.shape[0], np.nan)
    with_any, earliest = np.unique(run, return_index=True)
    first[with_any] = place_m[with_any, step[earliest]] - foot_m
    return first, np.bincount(run, minlength=above.shape[0]).astype(float)
