"""Tables of samples and laps put together from loose columns."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.sentences import sentences_of
from slopebeat.files.assembly import (
    EARLIEST_UNIX_S,
    LATEST_UNIX_S,
    LONGEST_SPAN_S,
    assemble,
    distance_along_m,
    findings,
    laps_from_starts,
)
from slopebeat.model.message import Message
from slopebeat.model.numerics import EARTH_RADIUS_M
from slopebeat.model.recording import Lap
from slopebeat.model.sentences.table import sentence

TIMES = st.floats(0, LONGEST_SPAN_S) | st.just(math.nan) | st.just(math.inf) | st.integers(0, 20).map(float)


@given(st.lists(st.tuples(TIMES, st.floats(), st.floats(), st.floats()), max_size=30))
def test_whatever_comes_in_times_rise_and_values_are_finite_or_absent(
    rows: list[tuple[float, float, float, float]],
) -> None:
    table = np.array(rows, dtype=float).reshape(len(rows), 4)
    columns = {"hr_bpm": table[:, 1], "lat_deg": table[:, 2], "lon_deg": table[:, 3]}
    made = assemble(table[:, 0], columns)
    t = made.samples["t_s"]
    assert np.all(np.diff(t) > 0)
    assert not np.isinf(made.samples.frame().to_numpy()).any()
    finite = table[np.isfinite(table[:, 0]), 0]
    assert len(t) <= len(set(finite.tolist()))
    assert made.untimed_count == len(rows) - finite.size
    if finite.size:
        assert made.start_unix_s == finite.min()


@given(st.lists(st.floats(), max_size=30))
def test_every_record_is_in_the_recording_or_counted_as_left_out(times: list[float]) -> None:
    made = assemble(times, {})
    possible = [time for time in times if EARLIEST_UNIX_S <= time <= LATEST_UNIX_S]
    assert made.untimed_count == len(times) - len(possible)
    assert len(made.samples) <= len(possible) - made.far_count
    assert made.far_count == 0 or max(possible) - min(possible) > LONGEST_SPAN_S
    assert not len(made.samples) or made.samples["t_s"].max() <= LONGEST_SPAN_S


def test_of_two_values_at_one_time_the_later_in_the_file_stays() -> None:
    made = assemble([5.0, 5.0, 5.0, 6.0], {"hr_bpm": [100.0, 101.0, math.nan, 102.0]})
    assert made.samples["hr_bpm"].tolist() == [101.0, 102.0]


@pytest.mark.parametrize(
    ("starts", "laps"),
    [
        ([], ()),
        ([0.0, 10.0], (Lap(0, 10), Lap(10, 60))),
        ([10.0, 0.0, 10.0], (Lap(0, 10), Lap(10, 60))),
        ([-50.0, -20.0, 30.0], (Lap(0, 30), Lap(30, 60))),
        ([-5.0, 0.0], (Lap(0, 60),)),
        ([70.0, math.nan], ()),
    ],
)
def test_laps_fill_the_recording_from_the_first_on(starts: list[float], laps: tuple[Lap, ...]) -> None:
    assert laps_from_starts(starts, 60.0) == laps


def test_a_quarter_of_a_great_circle_has_its_length() -> None:
    quarter = EARTH_RADIUS_M * math.pi / 2
    along_equator = distance_along_m([0.0, 0.0], [-45.0, 45.0])
    across_the_date_line = distance_along_m([0.0, 0.0], [135.0, -135.0])
    to_the_pole = distance_along_m([0.0, 90.0], [10.0, 77.0])
    for line in (along_equator, across_the_date_line, to_the_pole):
        assert line.tolist() == pytest.approx([0.0, quarter])


def test_distance_runs_on_across_absent_positions() -> None:
    line = distance_along_m([46.0, math.nan, 46.1], [14.0, math.nan, 14.0])
    direct = distance_along_m([46.0, 46.1], [14.0, 14.0])
    assert np.isnan(line[1])
    assert line[2] == direct[1]


def measured(distance: np.ndarray, lat: np.ndarray, lon: np.ndarray) -> tuple[float, tuple[Message, ...]]:
    """The distance a table ends with, and what is said of it."""
    made = assemble(np.arange(float(lat.size)), {"distance_m": distance, "lat_deg": lat, "lon_deg": lon})
    walked = made.samples["distance_m"]
    return float(np.nanmax(walked) - np.nanmin(walked)), findings([made])


METRE_DEG = math.degrees(1.0 / EARTH_RADIUS_M)
"""A metre along a meridian."""


@pytest.mark.parametrize("stands_at", [0.0, 7.5])
def test_a_distance_that_stands_while_the_positions_move_is_measured_along_them(stands_at: float) -> None:
    north = np.arange(1000.0)
    distance, said = measured(np.full(1000, stands_at), 46.0 + METRE_DEG * north, np.full(1000, 14.5))
    assert distance == pytest.approx(999.0)
    assert len(said) == 1
    assert "stands still" in sentence(said[0])


@pytest.mark.parametrize("lon", [14.5, 179.9995, -180.0])
@pytest.mark.parametrize("gone_astray", [0, 200])
def test_a_distance_that_goes_with_the_positions_stays(lon: float, gone_astray: int) -> None:
    # Across the 180th meridian, and with a fifth of the positions thousands of kilometres away.
    east = (lon + METRE_DEG * np.arange(1000.0) + 180.0) % 360.0 - 180.0
    lat = np.zeros(1000)
    lat[:gone_astray] = 45.0
    distance, said = measured(1.02 * np.arange(1000.0), lat, east)
    assert distance == pytest.approx(1.02 * 999.0)
    assert said == ()


def test_positions_that_jitter_on_the_spot_do_not_replace_a_distance_of_nothing() -> None:
    jitter = np.random.default_rng(4).normal(0.0, 10.0 * METRE_DEG, (2, 1000))
    distance, said = measured(np.zeros(1000), 46.0 + jitter[0], 14.5 + jitter[1])
    assert distance == 0.0
    assert said == ()


def test_values_that_cannot_be_are_left_out_counted_and_named() -> None:
    elevation = np.full(100, 500.0)
    elevation[50], elevation[51] = 1e308, -1e15
    power = np.full(100, 150.0)
    power[3] = 1e9
    made = assemble(
        np.arange(100.0), {"elevation_m": elevation, "power_w": power, "hr_bpm": np.full(100, 255.0)}
    )
    assert np.isnan(made.samples["elevation_m"]).sum() == 2
    assert sentences_of(findings([made])) == (
        "Values that cannot be were left out: elevation (2), power (1).",
    )


@pytest.mark.parametrize(("break_h", "kept"), [(23.0, 150), (25.0, 100), (36.0, 100)])
def test_a_recording_of_months_is_cut_where_a_day_is_missing(break_h: float, kept: int) -> None:
    """100 records, a break, 50 records, and ten from forty days later: the largest part stays."""
    first = np.arange(100.0)
    second = 99.0 + 3600.0 * break_h + np.arange(50.0)
    late = 40 * 86_400.0 + np.arange(10.0)
    made = assemble(np.concatenate((first, second, late)), {})
    assert len(made.samples) == kept
    assert made.far_count == 160 - kept
