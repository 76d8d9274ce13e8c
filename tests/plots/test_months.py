"""Charts over months: labels of the calendar, and the interval of the line."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model.people import Ground
from slopebeat.plots.months.axis import day_x, months_between
from slopebeat.plots.months.series import line_interval
from slopebeat.review.months.figures import DECOUPLING
from slopebeat.review.months.months import review_months
from summaries import outing


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


def test_the_interval_of_the_line_is_closed_at_the_medians_and_holds_the_line() -> None:
    rng = np.random.default_rng(3)
    rows = [
        outing(
            start_utc=datetime(2026, 1, 1 + 3 * i, 8, tzinfo=UTC),
            terrain_fair_percent=float(8.0 - 0.3 * i + rng.normal(0, 1)),
        )
        for i in range(10)
    ]
    series = review_months(rows).find(DECOUPLING, Ground.FOOT)
    assert series is not None
    middle = float(np.median(series.week))
    week = np.array([0.0, middle, series.week.max()])
    found, line = line_interval(series, week), series.trend.at(week)
    assert found is not None
    assert line is not None
    low, high = found
    assert low[1] == pytest.approx(high[1]) == pytest.approx(np.median(series.value))
    assert (low - 1e-9 <= line).all()
    assert (line <= high + 1e-9).all()
