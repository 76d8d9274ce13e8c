"""Figures on screen."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model.measures import figure
from slopebeat.model.units import minutes_seconds, whole_minutes


@given(st.lists(st.floats(0, 40_000), min_size=1, max_size=8))
def test_whole_minutes_add_up_and_stay_within_a_minute(seconds: list[float]) -> None:
    whole = whole_minutes(seconds)
    assert sum(whole) == round(sum(value / 60 for value in seconds))
    assert all(abs(minutes - value / 60) < 1 for minutes, value in zip(whole, seconds, strict=True))


def test_minutes_become_hours_at_sixty() -> None:
    assert minutes_seconds(59.4) == "0:59"
    assert minutes_seconds(3599) == "59:59"
    assert minutes_seconds(3600) == "1:00:00"


def test_no_minus_zero_and_a_true_minus() -> None:
    assert figure(-0.04, 1) == "0.0"
    assert figure(-3.0) == "−3"
    assert figure(float("nan")) == figure(None) == "–"
