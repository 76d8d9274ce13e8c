"""Plain decoupling against identities and against the trap that terrain sets."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.response.decoupling import (
    Output,
    Verdict,
    compare_halves,
    decoupling,
    ratio_change_percent,
)
from slopebeat.analysis.response.grid import TimeLeftOut
from slopebeat.analysis.response.work_rate import foot_w_per_kg, minetti_running_j_per_kg_m
from slopebeat.review.words.messages import say

HOUR = 3600.0


@pytest.mark.parametrize(
    ("ratio", "percent"),
    [(1.025, 2.439), (1.0526, 5.0), (1.10, 9.091), (1.16, 13.793), (1.20, 16.667)],
)
def test_the_published_ratio_of_heart_rate_to_output_becomes_a_percentage(
    ratio: float, percent: float
) -> None:
    # Identity D = 1 - 1/R with R = (HR/output)2 / (HR/output)1. The ratios are those of Smyth 2022,
    # doi:10.1007/s40279-022-01680-5: onset 1.025, classes at 1.1 and 1.2, mean 1.16.
    assert ratio_change_percent(1.0, 1.0 / ratio) == pytest.approx(percent, abs=0.005)
    t = np.arange(600.0, 600.0 + 2 * HOUR)
    t -= t[0]
    half = 600.0 + (t[-1] - 600.0) / 2
    ground = track(t, hr=np.where(t < half, 120.0, 120.0 * ratio), speed=1.3)
    row = compare_halves(ground, ground.speed_mps, Output.SPEED)
    assert row.percent == pytest.approx(percent, abs=0.02)


@pytest.mark.parametrize(
    ("rise", "percent"), [(0.02, 0.985), (0.05, 2.410), (0.11, 5.081), (0.17, 7.539), (0.19, 8.315)]
)
def test_a_linear_rise_at_constant_output(rise: float, percent: float) -> None:
    # D = (p/2) / (1 + 3p/4). The rises are those of Lafrenz 2008 (doi:10.1249/MSS.0b013e3181666ed7: 2 %
    # at 22 C, 11 % at 35 C) and Wingo 2020 (doi:10.1249/MSS.0000000000002324: 17 and 19 %). In the identity
    # the halves are means of a straight line, 1 + p/4 and 1 + 3p/4.
    t = np.arange(0.0, 600.0 + 2 * HOUR)
    share = np.clip((t - 600.0) / (2 * HOUR), 0.0, 1.0)
    ground = track(t, hr=130.0 * (1.0 + rise * share), speed=1.3)
    assert compare_halves(ground, ground.speed_mps, Output.SPEED).percent == pytest.approx(percent, abs=0.01)


def test_the_terrain_trap_is_in_the_pace_row_and_not_in_the_work_row() -> None:
    # First half up 10 %, second half down 10 %, equal metabolic power and heart rate: the running costs
    # 5.968 and 2.152 J/kg/m (Minetti et al. 2002) make the speeds differ by 2.773, D = -177 %.
    t = np.arange(0.0, 600.0 + 2 * HOUR)
    grade = np.where(t < 600.0 + HOUR, 0.10, -0.10)
    speed = 12.0 / minetti_running_j_per_kg_m(grade)
    ground = track(t, hr=150.0, grade=grade, speed=speed)
    pace = compare_halves(ground, ground.speed_mps, Output.SPEED)
    work = compare_halves(ground, minetti_running_j_per_kg_m(grade) * speed, Output.WORK_RATE)
    assert pace.percent == pytest.approx(100 * (1 - 5.9682 / 2.1517), abs=0.1)
    assert work.percent == pytest.approx(0.0, abs=1e-9)
    assert decoupling(ground, 12.0 * np.ones(t.size)).pace.verdict is Verdict.TERRAIN


def test_what_is_left_out_and_what_enters_sum_to_the_recorded_time() -> None:
    t = np.arange(0.0, 2.5 * HOUR)
    hr = np.full(t.size, 120.0)
    hr[3000:3300] = np.nan
    moving = np.ones(t.size, dtype=bool)
    moving[5000:5500] = False
    ground = track(t, hr=hr, moving=moving)
    row = decoupling(ground, np.full(t.size, 4.0)).pace
    assert row.excluded_s == {
        TimeLeftOut.WARM_UP: 600.0,
        TimeLeftOut.STOPS: 500.0,
        TimeLeftOut.NO_HEART_RATE: 300.0,
        TimeLeftOut.NO_OUTPUT: 0.0,
    }
    assert row.used_s + sum(row.excluded_s.values()) == pytest.approx(t[-1])


def judged(**given: object) -> tuple[Verdict, str]:
    t = np.arange(0.0, float(given.pop("hours", 2.0)) * HOUR)  # type: ignore[arg-type]
    columns = {k: v(t) if callable(v) else v for k, v in given.items()}
    ground = track(t, **columns)  # type: ignore[arg-type]
    row = decoupling(ground, foot_w_per_kg(ground.speed_mps, ground.grade)).pace
    return row.verdict, say(row.reason)


def test_verdicts_carry_their_reason() -> None:
    assert judged()[0] is Verdict.STEADY
    assert judged(hours=0.7)[0] is Verdict.TOO_SHORT
    verdict, reason = judged(grade=lambda t: np.where(t < HOUR, 0.10, -0.10))
    assert verdict is Verdict.TERRAIN
    assert "steeper than 3 %" in reason
    verdict, reason = judged(speed=lambda t: np.where(t < 3900, 1.3, 1.0))
    assert verdict is Verdict.TERRAIN
    assert "more work" in reason
    verdict, reason = judged(grade=lambda t: np.where(t < 3900, 0.0, 0.02))
    assert verdict is Verdict.TERRAIN


def test_no_verdict_hides_a_number() -> None:
    t = np.arange(0.0, 2000.0)
    row = decoupling(track(t), np.full(t.size, 4.0)).pace
    assert row.verdict is Verdict.TOO_SHORT
    assert row.percent == pytest.approx(0.0)


def test_nothing_to_compare_is_said_and_not_computed() -> None:
    row = decoupling(track(np.arange(500.0)), np.full(500, 4.0)).pace
    assert (row.percent, row.verdict) == (None, Verdict.NO_DATA)
