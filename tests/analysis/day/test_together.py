"""Which recordings are joined, by times and places."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from slopebeat.analysis.day.parts import Ends, days_of, follows

START = datetime(2026, 7, 11, 6, 0, tzinfo=UTC)
HERE, NEAR, FAR = (47.0, 11.0), (47.0, 11.004), (47.0, 11.01)
"""At 47 degrees north a degree of longitude is 76.1 km (WGS 84): NEAR lies 304 m off and FAR 761 m."""


def ends(
    from_min: float,
    to_min: float,
    first: tuple[float, float] | None = HERE,
    last: tuple[float, float] | None = HERE,
    source: str | None = None,
) -> Ends:
    return Ends(START + timedelta(minutes=from_min), START + timedelta(minutes=to_min), first, last, source)


@pytest.mark.parametrize(
    ("later", "joined"),
    [
        (ends(70, 80), True),
        (ends(70, 80, first=NEAR), True),
        (ends(70, 80, first=FAR), False),
        (ends(61 + 30, 200), False),
        (ends(59, 80), False),
        (ends(70, 80, first=None), False),
    ],
)
def test_minutes_and_metres_decide(later: Ends, joined: bool) -> None:
    assert follows(ends(0, 60), later) is joined


def test_a_missing_place_joins_parts_of_one_file_only() -> None:
    swim = ends(0, 30, None, None, "file")
    assert follows(swim, ends(31, 60, source="file"))
    assert not follows(swim, ends(31, 60, source="other"))


def test_the_user_has_the_last_word_but_no_second_counts_twice() -> None:
    day = [ends(500, 600), ends(0, 60), ends(70, 80), ends(75, 90)]
    assert days_of(day) == ((1, 2), (3,), (0,))
    assert days_of(day, [True, None, False, None]) == ((1,), (2,), (3, 0))
    assert days_of(day, [None, None, None, True]) == ((1, 2), (3,), (0,))
