"""Charts over months: labels of the calendar, and the interval of the line."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from slopebeat.plots.months.chart import day_x, months_between


def test_x_is_days_with_the_time_of_day_as_a_fraction() -> None:
    noon = day_x(datetime(2026, 3, 1, 12, tzinfo=UTC))
    assert noon == date(2026, 3, 1).toordinal() + 0.5


def test_labels_stand_on_first_days_of_months_counted_from_january() -> None:
    assert months_between(date(2025, 11, 15), date(2026, 5, 1), 3) == [date(2026, 1, 1), date(2026, 4, 1)]
    assert months_between(date(2026, 2, 2), date(2026, 2, 20), 1) == []


@given(st.dates(date(1990, 1, 1), date(2060, 1, 1)), st.sampled_from((1, 2, 3, 6, 12)))
def test_labels_lie_inside_and_a_step_apart(start: date, step: int) -> None:
    end = date(start.year + 3, 1, 1)
    found = months_between(start, end, step)
    assert all(start <= day <= end and day.day == 1 for day in found)
    counted = [day.year * 12 + day.month for day in found]
    assert all(later - earlier == step for earlier, later in pairwise(counted))
