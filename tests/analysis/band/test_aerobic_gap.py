"""The hard threshold of a published step test, and the gap under it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slopebeat.analysis.band.aerobic_gap import GAP, HardThreshold, hard_threshold, largest_distance
from slopebeat.analysis.band.lactate import LactateTest, Stage

# Demo data of the R package lactater (repository snapshot d6c7456, 2023-11-16; MIT licence, copyright 2020
# F. Mattioni Maturana): load W, lactate mmol/L, heart rate bpm.
ROWS = (
    (50.0, 0.98, 114.0),
    (75.0, 1.23, 134.0),
    (100.0, 1.88, 154.0),
    (125.0, 2.80, 170.0),
    (150.0, 4.21, 182.0),
    (175.0, 6.66, 193.0),
    (191.0, 8.64, 198.0),
)
DEMO = LactateTest(tuple(Stage(*row) for row in ROWS))


def test_the_largest_distance_is_where_the_package_published_it() -> None:
    # Published with the data: ModDmax on a third-degree curve at 140 W; 140.15 W by an own recomputation.
    assert largest_distance(DEMO) == pytest.approx(140.15, abs=0.3)


def test_the_heart_rates_of_both_methods_are_those_published() -> None:
    # Published, read from a line through all stages: 4.0 mmol/L at 176 bpm, ModDmax at 173 bpm. Between the
    # measured stages, which bend away from that line, heart rates are up to 5 bpm higher.
    found = hard_threshold(DEMO)
    assert found is not None
    assert found.low_bpm == pytest.approx(173.0, abs=1.0)
    assert 176.0 <= found.hr_bpm <= 176.0 + 5.0
    assert found.high_bpm == found.hr_bpm
    assert not found.entered


def test_a_test_that_ends_before_the_hard_threshold_tells_none() -> None:
    assert hard_threshold(replace(DEMO, stages=DEMO.stages[:4])) is None


@pytest.mark.parametrize(("upper", "share"), [(130.0, 0.20), (150.0, 0.04), (141.0, 0.1064)])
def test_the_gap_is_a_share_of_the_upper_edge(upper: float, share: float) -> None:
    # By hand: 156 / 130 = 1.2, 156 / 150 = 1.04, 156 / 141 = 1.1064.
    over = HardThreshold(156.0, 156.0, 156.0).over(upper)
    assert over == pytest.approx(share, abs=1e-4)
    assert (over > GAP) == (upper < 150.0)
