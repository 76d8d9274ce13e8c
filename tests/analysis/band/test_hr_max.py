"""Age formulas give the published means and never without their error."""

from __future__ import annotations

import pytest

from slopebeat.analysis.band.hr_max import hr_max_by_age
from slopebeat.model.errors import UserError
from slopebeat.review.words.messages import say


# 220 - age (Fox), 208 - 0.7 age (Tanaka 2001), 207 - 0.7 age (Gellish 2007), worked by hand.
@pytest.mark.parametrize(
    ("age", "fox", "tanaka", "gellish"),
    [
        (20, 200, 194, 193),
        (30, 190, 187, 186),
        (40, 180, 180, 179),
        (50, 170, 173, 172),
        (60, 160, 166, 165),
        (70, 150, 159, 158),
    ],
)
def test_formulas_give_the_published_values(age: int, fox: float, tanaka: float, gellish: float) -> None:
    found = hr_max_by_age(age)
    assert {e.formula.name: e.hr_max_bpm for e in found} == pytest.approx(
        {"Fox": fox, "Tanaka": tanaka, "Gellish": gellish}
    )
    for estimate in found:
        assert estimate.high_bpm - estimate.hr_max_bpm == pytest.approx(12.0)
        assert estimate.hr_max_bpm - estimate.low_bpm == pytest.approx(12.0)
        assert "10-12 bpm" in say(estimate.sentence)


@pytest.mark.parametrize("age", [0, 9, 101, float("nan"), -40])
def test_an_age_without_meaning_is_refused_in_a_sentence(age: float) -> None:
    with pytest.raises(UserError, match=r"age from 10 to 100 years.*\.$"):
        hr_max_by_age(age)
