from __future__ import annotations

import pytest

from slopebeat.model.units import MISSING, clock, duration, number, percent


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "0:00:00"), (59.6, "0:01:00"), (3599.4, "0:59:59"), (36000, "10:00:00"), (-65, "-0:01:05")],
)
def test_clock(seconds: float, text: str) -> None:
    assert clock(seconds) == text


@pytest.mark.parametrize(
    ("seconds", "text"), [(12, "12 s"), (60, "1 min"), (3570, "1 h"), (9600, "2 h 40 min"), (7200, "2 h")]
)
def test_duration(seconds: float, text: str) -> None:
    assert duration(seconds) == text


def test_what_is_unknown_is_shown_as_missing() -> None:
    assert {clock(None), duration(float("nan")), percent(None), number(float("inf"))} == {MISSING}
    assert percent(0.283) == "28 %"
