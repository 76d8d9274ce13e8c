"""Time and distance along the charts, labels of the axis, and the plan's local metres."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model.numerics import great_circle_m, round_step
from slopebeat.plots.chart import EDGE_PX, ROOM_FOR_VALUE_PX, RunAxis, ValueAxis
from slopebeat.plots.outing.lines import THIN_SHARE, Places, XScale, local_metres

# Walks 10 m, stands for 100 s, walks on.
T_S = np.array([0.0, 10.0, 60.0, 110.0, 120.0])
DISTANCE_M = np.array([0.0, 10.0, 10.0, 10.0, 30.0])


def test_along_time_x_is_seconds() -> None:
    scale = XScale(T_S)
    assert float(scale.to_x(60.0)) == scale.to_seconds(60.0) == 60.0


def test_standing_takes_no_distance_and_both_its_ends_can_be_reached() -> None:
    scale = XScale(T_S, DISTANCE_M)
    assert float(scale.to_x(60.0)) == 10.0
    assert scale.to_seconds(10.0) == 10.0
    assert scale.to_seconds(10.0, last=True) == 110.0
    assert scale.to_seconds(20.0) == 115.0


def test_beyond_the_ends_the_scale_stays_at_the_ends() -> None:
    scale = XScale(T_S, DISTANCE_M)
    assert scale.to_seconds(-5.0) == 0.0
    assert scale.to_seconds(99.0) == 120.0


@given(st.floats(0.0, 30.0))
def test_distance_to_seconds_and_back_is_the_same_distance(x: float) -> None:
    scale = XScale(T_S, DISTANCE_M)
    assert float(scale.to_x(scale.to_seconds(x))) == pytest.approx(x, abs=1e-9)
    assert float(scale.to_x(scale.to_seconds(x, last=True))) == pytest.approx(x, abs=1e-9)


def test_time_labels_are_hours_minutes_seconds_on_round_steps(qapp: object) -> None:
    axis = RunAxis()
    ((step, _),) = axis.tickSpacing(0.0, 7200.0, 1000.0)
    assert step == 900.0
    assert axis.tickStrings([0.0, 900.0, 5400.0], 1.0, step) == ["0:00:00", "0:15:00", "1:30:00"]


def test_distance_labels_have_the_digits_their_step_needs(qapp: object) -> None:
    axis = RunAxis()
    axis.set_along_distance(True)
    assert axis.tickStrings([2000.0, 4000.0], axis.scale, 2000.0) == ["2 km", "4 km"]
    assert axis.tickStrings([2000.0, 2050.0], axis.scale, 50.0) == ["2.00 km", "2.05 km"]


def test_local_metres_agree_with_the_great_circle() -> None:
    lat = np.array([46.50, 46.55, 46.60])
    lon = np.array([8.00, 8.07, 8.02])
    east, north = local_metres(lat, lon)
    for i, j in ((0, 1), (1, 2), (0, 2)):
        flat = np.hypot(east[i] - east[j], north[i] - north[j])
        assert flat == pytest.approx(float(great_circle_m(lat[i], lon[i], lat[j], lon[j])), rel=2e-3)


def test_thinning_keeps_ends_and_changes_of_state_and_no_gap_beyond_the_step() -> None:
    east = np.arange(0.0, 5000.0, 1.0)
    state = np.where(east < 333, 0, 1).astype(np.int8)
    kept = Places(east, np.zeros(5000), np.zeros(0, np.intp)).line(state).sample
    assert kept[0] == 0
    assert kept[-1] == 4999
    assert 333 in kept
    assert np.max(np.diff(east[kept])) <= THIN_SHARE * 5000.0
    assert kept.size < 510


@given(st.floats(1e-6, 1e6))
def test_a_round_step_is_one_two_or_five_times_a_power_of_ten_and_the_least_of_them(least: float) -> None:
    step = round_step(least)
    assert f"{step:.6e}"[:8] in ("1.000000", "2.000000", "5.000000")
    assert least <= step * (1 + 1e-9)
    assert step < 2.5 * least * (1 + 1e-6)


@given(st.floats(0.5, 5000.0), st.floats(20.0, 900.0))
def test_values_of_a_low_panel_have_room_and_a_high_one_is_not_crowded(extent: float, size_px: float) -> None:
    axis = ValueAxis("left")
    ((step, offset),) = axis.tickSpacing(0.0, extent, size_px)
    assert offset == 0.0
    assert step / extent * size_px >= ROOM_FOR_VALUE_PX * (1 - 1e-9)
    assert extent / step <= 8.0 + 1e-6


@given(st.floats(-500.0, 500.0), st.floats(5.0, 2000.0), st.floats(30.0, 900.0))
def test_values_at_the_ends_give_way_and_three_always_stay(low: float, extent: float, size_px: float) -> None:
    axis = ValueAxis("left")
    found = [value for _, values in axis.tickValues(low, low + extent, size_px) for value in values]
    assert len(found) >= 3
    if len(found) > 3:
        plain = [v for _, values in pg.AxisItem.tickValues(axis, low, low + extent, size_px) for v in values]
        kept = [v for v in plain if EDGE_PX <= (v - low) / extent * size_px <= size_px - EDGE_PX]
        assert found == (kept if len(kept) >= 3 else plain)


def test_a_value_on_the_rim_is_left_out_where_others_tell_the_scale() -> None:
    ((_, values),) = ValueAxis("left").tickValues(80.0, 182.0, 217.0)
    assert 80.0 not in values
    assert {100.0, 120.0, 140.0, 160.0} <= set(values)
