"""Plans of ways that were gone: time and minutes in band, each from earlier outings of the sport only."""

from __future__ import annotations

import numpy as np
from outings import Real, middle_of

from slopebeat.analysis.response.prediction import learn
from slopebeat.analysis.response.teaching import why_not
from slopebeat.analysis.route.forecast import LEAST_OUTINGS, Forecast, forecast, forecast_inputs, usable
from slopebeat.analysis.route.references import rule_of_thumb_s
from slopebeat.analysis.route.simulation import Slopes, simulate
from slopebeat.analysis.route.summary import joined_sides_s
from slopebeat.analysis.route.work import Going
from slopebeat.model.bands import Band
from slopebeat.model.evidence import PastOuting

HALF_BPM, OFFS_BPM = 10.0, (-12.0, -6.0, 0.0, 6.0, 12.0)
MASS_KG, BIKE_KG = 75.0, 10.0


def report_plans(outings: list[Real]) -> None:
    """Print errors and covers of plans as usual and with the mean known, beside the simplest predictors."""
    ways = [one for one in outings if one.ground is not None and one.past.has_ground]
    middle = middle_of(ways)
    for held in (False, True):
        times, minutes = [], []
        for number, one in enumerate(ways):
            past = usable([each.past for each in ways[:number] if each.past.has_heart])
            heart = one.past.has_heart and one.evidence.coverage >= 0.5
            if len(past) < LEAST_OUTINGS or (held and not heart):
                continue
            cast, sides = _planned(one, ways[:number], past, held, middle)
            times.append(_time_row(one, cast, past))
            if heart:
                minutes += _minute_rows(one, sides, past, middle)
        _print("mean known" if held else "as usual", np.array(times), np.array(minutes))


def _planned(
    one: Real, before: list[Real], past: tuple[PastOuting, ...], held: bool, middle: float
) -> tuple[Forecast, dict[float, np.ndarray]]:
    ground = one.ground
    assert ground is not None
    place = one.past.start_lat_deg, one.past.start_lon_deg
    start = (place[0], place[1]) if place[0] is not None and place[1] is not None else None
    inputs = forecast_inputs(ground, past, start)
    cast = forecast(inputs, one.past.mean_bpm if held else None)
    if held:
        # Known, not aimed at: the day's miss is no part of it.
        known = np.full(cast.mean_bpm.size, one.past.mean_bpm)
        cast = Forecast(
            cast.moving_s, cast.standing_s, cast.pause_s, known, cast.spread_bpm, cast.shape, cast.shapes
        )
    teaching = [each.evidence for each in before if why_not(each.evidence) is None]
    learnt = learn(teaching, one.past.start_utc) if teaching else None
    going = Going.at(one.past.on_bike, MASS_KG, BIKE_KG, float(ground.elevation_m.mean()))
    slopes, steps = Slopes.of(learnt, one.past.on_bike), ground.grade.size
    runs = simulate(ground, going, cast, inputs.curve, slopes, np.zeros(steps), np.ones(steps), 1)
    sides = {off: joined_sides_s(cast, runs, _band(middle + off))[0] for off in OFFS_BPM}
    return cast, sides


def _band(middle: float) -> Band:
    return Band(round(middle - HALF_BPM), round(middle + HALF_BPM))


def _time_row(one: Real, cast: Forecast, past: tuple[PastOuting, ...]) -> tuple[float, ...]:
    low, mid, high = np.quantile(cast.total_s, [0.1, 0.5, 0.9])
    true, way = one.past.recorded_s, one.past.distance_m or 0.0
    thumb = rule_of_thumb_s(way, one.past.ascent_m or 0.0, past) or np.nan
    pace = np.median([each.recorded_s / each.distance_m for each in past if each.distance_m]) * way
    return mid / true - 1.0, low <= true <= high, thumb / true - 1.0, pace / true - 1.0


def _minute_rows(
    one: Real, sides: dict[float, np.ndarray], past: tuple[PastOuting, ...], middle: float
) -> list[tuple[float, ...]]:
    rows = []
    for off, drawn in sides.items():
        band = _band(middle + off)
        true = one.past.share_in(band.lower_bpm, band.upper_bpm) * one.past.recorded_s
        shares = [each.share_in(band.lower_bpm, band.upper_bpm) for each in past[-15:] if each.has_heart]
        thumb = rule_of_thumb_s(one.past.distance_m or 0.0, one.past.ascent_m or 0.0, past) or np.nan
        low, mid, high = np.quantile(drawn, [0.1, 0.5, 0.9])
        rows.append(((mid - true) / 60.0, low <= true <= high, (np.median(shares) * thumb - true) / 60.0))
    return rows


def _print(name: str, times: np.ndarray, minutes: np.ndarray) -> None:
    error, held, thumb, pace = np.abs(times).T
    print(
        f"  plan, {name:<10} n {len(times):3}   time: mean error {100 * error.mean():4.1f} %, "
        f"80 % interval held {100 * held.mean():3.0f} %   "
        f"(distance + 7 x ascent {100 * thumb.mean():4.1f} %, median pace {100 * pace.mean():4.1f} %)"
    )
    error, held, thumb = np.abs(minutes).T
    print(
        f"  {'':<22} minutes in band: mean error {error.mean():4.1f}, interval held "
        f"{100 * held.mean():3.0f} %   (median share x rule of thumb {np.nanmean(thumb):4.1f})"
    )
