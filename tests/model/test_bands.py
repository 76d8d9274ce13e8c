"""Bands against published tables and worked numbers."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.model.bands import Band, band_from_hr_max, band_from_reserve, parse_band
from slopebeat.model.errors import UserError


def test_shares_of_a_maximum_round_outward() -> None:
    # Common practice, no source: 60-70 % of a maximum of 187 bpm is 112.2-130.9.
    band = band_from_hr_max(187)
    assert (band.lower_bpm, band.upper_bpm) == (112, 131)


def test_whole_edges_are_not_widened_by_float_error() -> None:
    band = band_from_hr_max(180)
    assert (band.lower_bpm, band.upper_bpm) == (108, 126)
    assert band_from_hr_max(190).upper_bpm == 133  # 0.7 * 190 is 132.99999999999997 or 133 by the machine


@pytest.mark.parametrize(
    ("shares", "edges"),
    [
        # ACSM intensity classes as shares of maximal heart rate and of reserve (Garber et al. 2011,
        # adapted in Br J Sports Med), for a resting heart rate of 60 and a maximum of 190 bpm.
        ((0.57, 0.63), (108, 120)),
        ((0.64, 0.76), (121, 145)),
        ((0.77, 0.95), (146, 181)),
    ],
)
def test_acsm_classes_of_maximal_heart_rate(shares: tuple[float, float], edges: tuple[int, int]) -> None:
    band = band_from_hr_max(190, shares)
    assert (band.lower_bpm, band.upper_bpm) == edges


@pytest.mark.parametrize(
    ("shares", "edges"),
    [((0.30, 0.39), (99, 111)), ((0.40, 0.59), (112, 137)), ((0.60, 0.89), (138, 176))],
)
def test_acsm_classes_of_reserve(shares: tuple[float, float], edges: tuple[int, int]) -> None:
    # Karvonen's HRrest + f (HRmax - HRrest): 40 % is 112, 59 % is 136.7, 70 % is 151 bpm.
    band = band_from_reserve(190, 60, shares)
    assert (band.lower_bpm, band.upper_bpm) == edges


def test_both_edges_are_inside() -> None:
    side = Band(112, 131).side(np.array([111, 112, 131, 131.5, 132]))
    assert side.tolist() == [-1, 0, 0, 1, 1]


@pytest.mark.parametrize("text", ["131-112", "112", "a-b", "112-131-150", "20-131", "112-400", ""])
def test_what_is_no_band_gets_a_sentence(text: str) -> None:
    with pytest.raises(UserError, match=r"\.$"):
        parse_band(text)


def test_implausible_heart_rates_get_a_sentence() -> None:
    with pytest.raises(UserError, match="not plausible"):
        band_from_hr_max(900)
    with pytest.raises(UserError, match="lower than the maximal"):
        band_from_reserve(120, 150)


def test_a_band_is_read_as_it_is_written() -> None:
    assert str(parse_band("112-131")) == "112-131 bpm"


def test_no_edge_is_widened_by_a_beat_through_float_error() -> None:
    """Against whole numbers: p % of a maximum m is p m / 100, rounded down and up exactly."""
    for maximum in range(150, 211):
        for low in range(30, 90):
            band = band_from_hr_max(maximum, (low / 100, (low + 10) / 100))
            edges = low * maximum // 100, -(-(low + 10) * maximum // 100)
            assert (band.lower_bpm, band.upper_bpm) == edges
