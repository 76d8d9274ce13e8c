"""Two outings lined up by the places both went over."""

from __future__ import annotations

import pytest

from review.ground.test_ground import PLACE, passed
from slopebeat.model.way import Place
from slopebeat.review.ground.repeated import NOTHING_SHARED, covered_m, shared_ground
from slopebeat.review.present.shared_ground import shared_sentence

PLACES = [
    PLACE,
    Place(2, "stretch", 2100.0, 0.0),
    Place(3, "climb", 900.0, 60.0),
    Place(4, "stretch", 600.0, 0.0),
]


def test_places_come_in_the_order_of_the_later_outing_with_what_the_heart_did_at_equal_speed() -> None:
    """The later outing went the places the other way round, at the same speed, 6 bpm lower."""
    earlier = [passed(0, hr=140.0, place=place, first=100 + 300 * place) for place in (1, 2, 3)]
    later = [passed(7, hr=134.0, place=place, first=2000 - 300 * place) for place in (1, 2, 3)]
    alone = [passed(7, place=4, first=3000)]
    shared = shared_ground(PLACES, [*earlier, *later, *alone], ("o-0", "o-7"), (10_500.0, 8400.0))
    assert [each.place.identity for each in shared.places] == [3, 2, 1]
    assert [each.compared_bpm for each in shared.places] == pytest.approx([-6.0] * 3)
    # Three passes of 2.1 km each: 6.3 of 10.5 and of 8.4 km.
    assert shared.share == pytest.approx(0.6)
    assert shared.is_most
    assert shared_sentence(shared) == (
        "Both went over 3 places, 60 % of either way at least. At equal speed heart rate was 6 bpm lower on "
        "the later one; days differ by 7.6 bpm."
    )


def test_one_place_alone_says_nothing_of_two_days() -> None:
    shared = shared_ground([PLACE], [passed(0), passed(7)], ("o-0", "o-7"), (2100.0, 21_000.0))
    assert not shared.is_most
    assert shared_sentence(shared) == "Both went over 1 place, 10 % of either way at least."
    assert shared_sentence(NOTHING_SHARED) == ""


def test_ground_of_two_places_counts_once() -> None:
    over_one_another = [passed(0, first=100), passed(0, first=200), passed(0, first=600)]
    # From point 100 to 410 and from 600 to 810, ten metres each.
    assert covered_m(over_one_another) == pytest.approx(5200.0)
