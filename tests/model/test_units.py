from __future__ import annotations

import pytest

from slopebeat.model.units import MISSING, clock, duration, percent, rest_s


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
    assert {clock(None), duration(float("nan")), percent(None), percent(float("inf"))} == {MISSING}
    assert percent(0.283) == "28 %"


@pytest.mark.parametrize(
    ("whole_min", "part_min"), [(45.0, 29.5), (45.0, 30.5), (206.1, 76.2), (64.4, 31.6), (60.0, 59.6 - 1.0)]
)
def test_what_is_said_of_a_whole_and_its_parts_adds_up(whole_min: float, part_min: float) -> None:
    rest = rest_s(60.0 * whole_min, 60.0 * part_min)
    minutes = [_minutes(duration(60.0 * each)) for each in (whole_min, part_min, rest / 60.0)]
    assert minutes[0] == minutes[1] + minutes[2]
    assert rest == pytest.approx(60.0 * (whole_min - part_min), abs=60.0)


def test_a_rest_of_seconds_is_not_rounded() -> None:
    assert rest_s(45 * 60.0, 44 * 60.0 + 18.0) == 42.0


def _minutes(words: str) -> int:
    """A duration in words as minutes, read apart from how it was written."""
    numbers = [int(word) for word in words.split() if word.isdigit()]
    return 60 * numbers[0] + sum(numbers[1:]) if " h" in words else numbers[0]
