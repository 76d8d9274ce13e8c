"""Where the time went that did not count: which causes are told, and in which order."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.analysis.account.causes import Cause
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.answer import why
from slopebeat.review.outing import Review, review_recording

T = np.arange(3601.0)


@pytest.fixture(scope="module")
def half_lost() -> Review:
    """An hour of which 1,000 s lie over the band."""
    return review_recording(
        recording(T, hr=lambda t: np.where(t < 1000.0, 150.0, 120.0)), Aim(Band(112, 131))
    )


def shares_told(review: Review, seconds: dict[Cause, float]) -> list[int]:
    assert review.causes is not None
    told = why(replace(review, causes=replace(review.causes, seconds=seconds)))
    assert "17 min" in told, "1,000 s are 16 min 40 s"
    return [int(share) for share in re.findall(r"(\d+) %", told)]


def test_a_cause_of_less_than_a_twentieth_is_not_told(half_lost: Review) -> None:
    seconds = {
        Cause.STEEP_CLIMB: 604.0,
        Cause.STOP: 291.0,
        Cause.DRIFT: 58.0,
        Cause.SURGE: 42.0,
        Cause.DESCENT: 5.0,
    }
    assert shares_told(half_lost, seconds) == [60, 29, 6]


def test_of_many_causes_the_four_largest_are_told_the_largest_first(half_lost: Review) -> None:
    causes = (Cause.STOP, Cause.DRIFT, Cause.SURGE, Cause.DESCENT, Cause.STEEP_CLIMB, Cause.FAST_CLIMB)
    seconds = dict(zip(causes, (60.0, 100.0, 340.0, 200.0, 220.0, 80.0), strict=True))
    assert shares_told(half_lost, seconds) == [34, 22, 20, 10]
