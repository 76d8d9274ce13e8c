"""What one outing was against another, worked out by hand."""

from __future__ import annotations

import pytest

from slopebeat.analysis.account.time_account import BandState, TimeAccount
from slopebeat.review.words.difference import decoupling_difference, minutes_difference


def account(in_band_min: float, above_min: float, below_min: float) -> TimeAccount:
    told = dict(zip(BandState, (0.0 for _ in BandState), strict=True))
    moving = told | {
        BandState.IN_BAND: 60.0 * in_band_min,
        BandState.ABOVE: 60.0 * above_min,
        BandState.BELOW: 60.0 * below_min,
    }
    return TimeAccount(moving, told, 0.0, 0.0, sum(moving.values()))


def test_minutes_are_told_with_their_shares() -> None:
    said = minutes_difference(account(30.0, 20.0, 50.0), account(60.0, 12.0, 48.0))
    head = "The later outing was 30 min longer in band (50 % of its time, before 30 %)"
    assert said == f"{head} and 8 min shorter above it."
    alike = minutes_difference(account(30.0, 20.0, 50.0), account(30.5, 20.0, 50.0))
    assert "as long in band" in alike


@pytest.mark.parametrize(
    ("earlier", "later", "numbers", "verdict"),
    [
        # Errors that are independent add as squares (JCGM 100:2008, 5.1.2): halves of 2 and 1.5 make 2.5.
        ((6.0, 4.0, 8.0), (1.0, -0.5, 2.5), "-5.0 points (95 %: -7.5 to -2.5)", "a difference"),
        ((3.0, 1.0, 5.0), (1.0, -0.5, 2.5), "-2.0 points (95 %: -4.5 to +0.5)", "no difference can be told"),
        ((1.0, 0.7, 1.3), (3.0, 2.6, 3.4), "+2.0 points (95 %: +1.5 to +2.5)", "days alone differ by"),
    ],
)
def test_a_difference_of_decoupling_is_one_only_beyond_its_doubt_and_what_days_make(
    earlier: tuple[float, float, float], later: tuple[float, float, float], numbers: str, verdict: str
) -> None:
    said = decoupling_difference(earlier, later).replace("\u2212", "-")
    assert numbers in said
    assert verdict in said


def test_without_both_figures_it_says_so() -> None:
    assert "one of them has none" in decoupling_difference(None, (1.0, 0.0, 2.0))
