"""Ground gone before is found on invented outings whose truth is known, and the level of a day with it."""

from __future__ import annotations

import numpy as np
import pytest
from generator.repeated import Days, repeated_outings

from helpers.ground_truth import Found, measure


@pytest.fixture(scope="module")
def found() -> Found:
    """Eight hikes over three loops, with positions that are off by 4 m."""
    made = Found()
    outings = list(
        repeated_outings(5, 8, loops=3, gps_m=4.0, days=Days(level_bpm=6.0, push=0.04, faster=0.4))
    )
    measure(outings, made)
    return made


def test_what_was_gone_is_found_and_what_is_found_was_gone(found: Found) -> None:
    assert found.gone_m > 20_000.0
    assert found.found_m >= 0.97 * found.gone_m
    assert found.right_m >= 0.97 * found.said_m


def test_levels_of_days_are_the_true_ones(found: Found) -> None:
    """Nearer than the raw means at the same places: from first to last day the walker goes 40 % harder."""
    off, raw = (float(np.sqrt(np.mean(np.square(each)))) for each in (found.level_off, found.raw_off))
    assert len(found.level_off) >= 7
    assert off < 0.75 * raw
