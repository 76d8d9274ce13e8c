from __future__ import annotations

from dataclasses import replace

from helpers.pasts import past
from slopebeat.analysis.price.unevenness import Unevenness, kind_of, variation_of
from slopebeat.model.evidence import GRADES


def test_kinds_part_outings_by_the_unevenness_of_their_work() -> None:
    kinds = [kind_of(past(140.0, 12.0, variation=v)) for v in (0.1, 0.4, 0.5, 0.9, None)]
    assert kinds == [*Unevenness, Unevenness.GENTLE]
    on_foot = [kind_of(past(140.0, 12.0, variation=v, on_bike=False)) for v in (0.19, 0.25, 0.4, 0.5)]
    assert on_foot == list(Unevenness)


def test_a_session_without_positions_and_without_ground_is_steady() -> None:
    indoors = past(130.0, 8.0, variation=0.8, indoors=True)
    assert kind_of(indoors) is Unevenness.STEADY
    assert kind_of(replace(indoors, work_variation=None)) is Unevenness.STEADY
    # A recording that lost its positions but knows the grades it went over was outdoors.
    metres = (0.0,) * (GRADES.size - 1) + (2000.0,)
    outdoors = replace(indoors, grade_seconds=metres, grade_metres=metres)
    assert variation_of(outdoors) == 0.8
    assert kind_of(outdoors) is Unevenness.STOP_AND_GO
