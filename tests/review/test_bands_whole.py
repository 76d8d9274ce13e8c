"""The stages of a lactate test, stored with the band, can be read again."""

from __future__ import annotations

from slopebeat.analysis.band.lactate import LactateTest, Stage, propose_band
from slopebeat.model.bands import Band
from slopebeat.review.bands import whole_basis

STAGES = ((80, 1.0, 100), (110, 0.9, 112), (140, 1.3, 124), (170, 2.2, 139), (200, 4.1, 156))


def test_every_stage_and_the_value_at_rest_are_said() -> None:
    test = LactateTest(tuple(Stage(*map(float, each)) for each in STAGES), "W", 1.1)
    said = whole_basis(propose_band(test).band)
    assert "Lactate at rest: 1.1 mmol/L" in said
    for load, lactate, hr in STAGES:
        assert f"{load} W, {lactate:g} mmol/L, {hr} bpm" in said


def test_a_band_without_a_test_says_its_method() -> None:
    assert whole_basis(Band(112, 131)).startswith("112-131 bpm: ")
