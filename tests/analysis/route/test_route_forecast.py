"""Forecasts of an invented athlete whose law is known: the intervals are held against what happens next.

The line through outings against ordinary least squares and Student's quantiles of SciPy.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy import stats

from slopebeat.analysis.route.forecast import DayShift, forecast, forecast_inputs, usable
from slopebeat.analysis.route.profile import RouteGround, route_ground
from slopebeat.analysis.route.references import rule_of_thumb_s
from slopebeat.model.bands import Band
from slopebeat.model.evidence import GRADES, PastOuting

START = datetime(2026, 1, 1, 7, tzinfo=UTC)
BPM = np.arange(60, 221)


def way(length_m: float, grade: float = 0.0) -> RouteGround:
    along = np.linspace(0.0, length_m, 400)
    found = route_ground(along, 500.0 + grade * along)
    assert found is not None
    return found


def outing(length_m: float, mean: float, day: float, number: int, spread: float = 12.0) -> PastOuting:
    """On the level 3 s/m at 140 bpm, a hundredth quicker for each beat more; a tenth of it standing."""
    moving = 3.0 * length_m * float(np.exp(-0.01 * (mean - 140.0) + day))
    metres = tuple(np.where(np.abs(GRADES) < 1e-9, length_m, 0.0).tolist())
    seconds = tuple(np.where(np.abs(GRADES) < 1e-9, moving, 0.0).tolist())
    share = np.diff(stats.norm.cdf(np.append(BPM, 221) - 0.5, mean, spread))
    heart = tuple((1.1 * moving * share).tolist())
    start = START + number * timedelta(days=2)
    ground = (seconds, metres, 0.02)
    return PastOuting(
        start, False, 1.1 * moving, moving, 0.2 * moving, length_m, 0.0, 60, heart, 0.3, *ground
    )


def season(rng: np.random.Generator, count: int) -> list[PastOuting]:
    return [
        outing(
            float(rng.uniform(4e3, 1.2e4)),
            rng.normal(140.0, 8.0),
            rng.normal(0.0, 0.06),
            i,
            12.0 * float(np.exp(rng.normal(0.0, 0.25))),
        )
        for i in range(count)
    ]


def test_time_and_minutes_of_the_next_outing_fall_inside_as_often_as_the_intervals_say() -> None:
    rng, band, held = np.random.default_rng(3), Band(130, 150), []
    for _ in range(120):
        made = season(rng, 13)
        last = made[-1]
        assert last.distance_m is not None
        cast = forecast(forecast_inputs(way(last.distance_m), made[:-1]), draws=1000)
        sides = cast.sides_s(band)
        assert np.allclose(np.sum(sides, axis=0), cast.total_s)
        true = (last.recorded_s, last.recorded_s * last.share_in(130, 150))
        for drawn, value in zip((cast.total_s, sides[1]), true, strict=True):
            low, high = np.quantile(drawn, [0.1, 0.9])
            held.append(low <= value <= high)
    assert 0.74 <= np.mean(held[::2]) <= 0.93
    assert 0.72 <= np.mean(held[1::2]) <= 0.93


def test_a_heart_rate_to_hold_decides_the_time_by_the_law_of_the_athlete() -> None:
    made = season(np.random.default_rng(4), 30)
    inputs = forecast_inputs(way(8000.0), made)
    for bpm in (130.0, 140.0, 150.0):
        cast = forecast(inputs, bpm)
        assert np.median(cast.mean_bpm) == pytest.approx(bpm, abs=0.3)
        expected = 3.0 * 8000.0 * np.exp(-0.01 * (bpm - 140.0))
        assert np.median(cast.moving_s) == pytest.approx(expected, rel=0.05)
    usual, held = forecast(inputs), forecast(inputs, 140.0)
    width = [np.subtract(*np.quantile(np.log(each.total_s), [0.9, 0.1])) for each in (usual, held)]
    assert width[1] < width[0]


def test_standing_and_pauses_are_those_of_earlier_outings_and_apart() -> None:
    cast = forecast(forecast_inputs(way(8000.0), season(np.random.default_rng(4), 12)))
    assert cast.standing_s / cast.moving_s == pytest.approx(np.full(cast.moving_s.size, 0.1))
    assert cast.pause_s / cast.moving_s == pytest.approx(np.full(cast.moving_s.size, 0.2))
    assert cast.total_s == pytest.approx(cast.moving_s + cast.standing_s)


def test_warm_air_raises_the_heart_rate_as_usual_and_costs_time_where_it_is_held() -> None:
    inputs = forecast_inputs(way(8000.0), season(np.random.default_rng(4), 20))
    mild, warm = DayShift(), DayShift(heart_factor=1.08, heart_bpm=3.0)
    usual = [forecast(inputs, day=day) for day in (mild, warm)]
    risen = np.median(usual[1].mean_bpm) - np.median(usual[0].mean_bpm)
    assert risen == pytest.approx(0.08 * np.median(usual[0].mean_bpm) + 3.0, rel=0.02)
    assert np.median(usual[1].moving_s) == pytest.approx(np.median(usual[0].moving_s), rel=0.01)
    held = [forecast(inputs, 140.0, day) for day in (mild, warm)]
    assert np.median(held[1].moving_s) > 1.04 * np.median(held[0].moving_s)


def test_outings_from_the_same_start_count_more() -> None:
    made = season(np.random.default_rng(4), 12)
    here = [replace(one, start_lat_deg=46.9, start_lon_deg=11.6) for one in made[:3]]
    there = [replace(one, start_lat_deg=46.5, start_lon_deg=11.6) for one in made[3:]]
    weight = forecast_inputs(way(8000.0), [*here, *there], (46.901, 11.601)).weight
    plain = forecast_inputs(way(8000.0), [*here, *there], (47.5, 11.6)).weight
    assert weight[0] / weight[-1] == pytest.approx(3.0 * plain[0] / plain[-1])


def test_without_heart_rates_only_the_time_is_foretold() -> None:
    made = [replace(one, hr_seconds=()) for one in season(np.random.default_rng(4), 12)]
    cast = forecast(forecast_inputs(way(8000.0), made), 140.0)
    assert not cast.has_heart
    assert np.median(cast.moving_s) == pytest.approx(3.0 * 8000.0, rel=0.1)


def test_what_knows_no_ground_teaches_no_time() -> None:
    made = season(np.random.default_rng(4), 3)
    bare = replace(made[0], grade_metres=(), grade_seconds=())
    assert usable([made[2], bare, made[1]]) == (made[1], made[2])


def test_the_rule_of_thumb_is_the_median_speed_of_distance_and_seven_times_the_ascent() -> None:
    # Worked by hand: 10 km with 500 m up count as 13.5 km; speeds of 3, 2.7 and 2 m/s have the median 2.7.
    one = outing(10_000.0, 140.0, 0.0, 0)
    past = [replace(one, ascent_m=500.0, recorded_s=13_500.0 / v) for v in (3.0, 2.0, 2.7)]
    assert rule_of_thumb_s(20_000.0, 1_000.0, past) == pytest.approx(27_000.0 / 2.7)
    assert rule_of_thumb_s(20_000.0, 1_000.0, []) is None
