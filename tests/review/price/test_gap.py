"""The aerobic gap over time, from the bands an athlete has had."""

from __future__ import annotations

from dataclasses import asdict, replace
from datetime import date

import pytest

from slopebeat.analysis.band.lactate import LactateTest, Stage, propose_band
from slopebeat.model.bands import Band
from slopebeat.model.basis import BY_HAND, HARD_THRESHOLD_BPM, LACTATE, Basis
from slopebeat.model.errors import UserError
from slopebeat.model.people import BandPeriod, Ground
from slopebeat.review.price.gap import gap_sentences, gap_values, gaps, with_hard_threshold
from slopebeat.review.words.basis import how_words

# Demo data of the R package lactater (repository snapshot d6c7456, 2023-11-16; MIT licence, copyright 2020
# F. Mattioni Maturana): load W, lactate mmol/L, heart rate bpm. Published with it: 4.0 mmol/L at 176 bpm and
# the modified largest distance at 173 bpm on the line through all stages, which the stages lie up to 5 over.
ROWS = (
    (50, 0.98, 114),
    (75, 1.23, 134),
    (100, 1.88, 154),
    (125, 2.8, 170),
    (150, 4.21, 182),
    (175, 6.66, 193),
    (191, 8.64, 198),
)
STAGES = tuple(Stage(*map(float, row)) for row in ROWS)


def period(day: str, band: Band, ground: Ground = Ground.FOOT) -> BandPeriod:
    return BandPeriod("a", ground, date.fromisoformat(day), band)


def entered(upper: int, hard: float) -> Band:
    return Band(upper - 20, upper, basis=Basis.of(BY_HAND, **{HARD_THRESHOLD_BPM: hard}))


def test_an_entered_threshold_gives_the_gap_and_a_later_band_shows_how_it_changed() -> None:
    # By hand: 156 / 130 is 20 % over; 156 / 145 is 7.6 % over.
    found = gaps((period("2026-06-01", Band(125, 145)), period("2026-01-05", entered(130, 156.0))))
    assert [round(each.share, 3) for each in found] == [0.2, 0.076]
    assert [each.known_day.isoformat() for each in found] == ["2026-01-05"] * 2
    (said,) = gap_sentences(found)
    assert (
        "On foot: the hard threshold (156 bpm, entered by hand, 2026-01-05) lies 11 bpm or 8 % over" in said
    )
    assert "no source is known" in said
    assert said.endswith("It has narrowed: on 2026-01-05 it was 20 %.")


def test_over_a_tenth_is_called_a_gap_and_said_to_be_without_a_source() -> None:
    (said,) = gap_sentences(gaps((period("2026-01-05", entered(130, 156.0)),)))
    assert "lies 26 bpm or 20 % over the band's upper edge (130 bpm)" in said
    assert "Over 10 % is called an aerobic gap by common practice, for which no source is known." in said


def test_a_step_test_kept_with_its_band_tells_the_threshold_with_its_range() -> None:
    band = propose_band(LactateTest(STAGES)).band
    (gap,) = gaps((period("2026-03-01", band, Ground.BIKE),))
    assert not gap.hard.entered
    assert 172.0 <= gap.hard.low_bpm <= 176.0 <= gap.hard.hr_bpm <= gap.hard.high_bpm <= 181.0
    (values,) = gap_values((gap,))
    assert (values["ground"], values["from_day"], values["over_limit"]) == ("bike", "2026-03-01", True)
    assert "step test, " in gap_sentences((gap,))[0]


def test_grounds_have_their_own_and_without_a_threshold_nothing_is_said() -> None:
    assert gaps((period("2026-01-05", Band(112, 131)),)) == ()
    assert gap_sentences(()) == ()
    both = (period("2026-01-05", entered(130, 156.0)), period("2026-02-01", Band(110, 128), Ground.BIKE))
    assert [each.ground for each in gaps(both)] == [Ground.FOOT]
    ridden = period("2026-01-05", entered(130, 156.0), Ground.BIKE)
    assert [each.ground for each in gaps(iter((*both, ridden)))] == [Ground.FOOT, Ground.BIKE, Ground.BIKE]


def test_stages_that_can_be_no_test_and_a_threshold_under_the_edge_do_no_harm() -> None:
    broken = [asdict(stage) for stage in STAGES[:2]]
    odd = replace(Band(112, 131), basis=Basis.of(LACTATE, stages=broken))
    assert gaps((period("2026-01-05", odd),)) == ()
    none = replace(Band(112, 131), basis=Basis.of(LACTATE, stages=None))
    assert gaps((period("2026-01-05", none),)) == ()
    (said,) = gap_sentences(gaps((period("2026-01-05", entered(150, 140.0)),)))
    assert "one of both is not right" in said


def test_an_entered_threshold_is_said_with_how_the_band_was_found() -> None:
    assert how_words(entered(130, 156.0)) == "Set by hand; hard threshold 156 bpm, entered"


def test_a_hard_threshold_is_entered_with_any_band_and_only_over_it() -> None:
    band = propose_band(LactateTest(STAGES)).band
    entered_too = with_hard_threshold(band, 171.0)
    assert (entered_too.lower_bpm, entered_too.upper_bpm) == (band.lower_bpm, band.upper_bpm)
    (gap,) = gaps((period("2026-03-01", entered_too),))
    assert gap.hard.entered
    assert gap.hard.hr_bpm == 171.0
    # The stages stay where they were.
    assert entered_too.basis.values["stages"] == band.basis.values["stages"]
    with pytest.raises(UserError, match=f"over {band.upper_bpm} bpm"):
        with_hard_threshold(band, float(band.upper_bpm))
