"""Lactate samples against heart rate, by hand and against the step test's own reading."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.band.lactate import LactateTest, Method, Stage, at_lactate
from slopebeat.model.notes import Author, Note, NoteKind, new_note
from slopebeat.review.notes.heart import baseline_edge, implied_edges, lactate_readings, lactate_sentences

T = np.arange(3600.0)
STAIRS = track(T, hr=100.0 + 10.0 * (T // 600))
"""Ten minutes each at 100, 110 ... 150 bpm."""


def sample(minute: float, lactate: float) -> Note:
    return new_note(NoteKind.LACTATE, Author.COACH, value=lactate, start_s=minute * 60.0)


def test_a_sample_goes_with_the_heart_rate_of_the_minute_before_it() -> None:
    late, early = sample(19.9, 1.2), sample(9.9, 0.8)
    assert [(r.hr_bpm, r.lactate_mmol_l) for r in lactate_readings([late, early], STAIRS)] == [
        *((100.0, 0.8), (110.0, 1.2))
    ]
    (turn,) = lactate_readings([sample(10.5, 1.0)], STAIRS)
    assert turn.hr_bpm == pytest.approx(105.0)


def test_without_trusted_heart_rate_there_is_none_for_the_sample() -> None:
    deaf = track(T, hr=np.where(T < 590, np.nan, 120.0))
    (reading,) = lactate_readings([sample(10.0, 1.0)], deaf)
    assert reading.hr_bpm is None
    assert "unknown heart rate" in lactate_sentences([sample(10.0, 1.0)], deaf)[0]


def test_edges_lie_straight_between_two_samples() -> None:
    lower, upper = implied_edges(lactate_readings([sample(9.9, 0.5), sample(29.9, 2.5)], STAIRS))
    # From 0.5 at 100 bpm to 2.5 at 120 bpm: 1.0 is a quarter of the way, 1.9 seven tenths.
    assert lower.hr_bpm == pytest.approx(105.0)
    assert upper.hr_bpm == pytest.approx(114.0)
    assert upper.between_bpm == (100.0, 120.0)


def test_edges_are_those_of_the_step_test_when_the_samples_are_one() -> None:
    values = (0.7, 0.9, 1.3, 1.7, 2.6, 4.1)
    notes = [sample(10.0 * i + 9.9, value) for i, value in enumerate(values)]
    stages = tuple(Stage(100.0 + 10.0 * i, value, 100.0 + 10.0 * i) for i, value in enumerate(values))
    test = LactateTest(stages, load_unit="bpm")
    lower, upper = implied_edges(lactate_readings(notes, STAIRS))
    assert lower.hr_bpm == pytest.approx(at_lactate(test, 1.0, Method.LOWER_FIXED).load)
    assert upper.hr_bpm == pytest.approx(at_lactate(test, 1.9, Method.UPPER_FIXED).load)


@pytest.mark.parametrize(
    ("values", "reason"),
    [((1.2,), "two samples"), ((2.0, 2.4), "every sample"), ((0.5, 0.8), "no sample at a higher")],
)
def test_what_the_samples_do_not_reach_is_said(values: tuple[float, ...], reason: str) -> None:
    notes = [sample(10.0 * i + 9.9, value) for i, value in enumerate(values)]
    lower, upper = implied_edges(lactate_readings(notes, STAIRS))
    assert lower.hr_bpm is None
    assert upper.hr_bpm is None
    assert reason in lower.reason
    assert "trained person" in lactate_sentences(notes, STAIRS)[0]


def test_no_samples_say_nothing() -> None:
    assert lactate_sentences([sample(1.0, 1.0).taken_back(sample(1.0, 1.0).created_utc)], STAIRS) == ()


def test_the_other_reading_of_the_upper_edge_is_that_of_the_step_test() -> None:
    values = (0.7, 0.9, 1.3, 1.7, 2.6, 4.1)
    notes = [sample(10.0 * i + 9.9, value) for i, value in enumerate(values)]
    stages = tuple(Stage(100.0 + 10.0 * i, value, 100.0 + 10.0 * i) for i, value in enumerate(values))
    edge = baseline_edge(lactate_readings(notes, STAIRS))
    # The lowest sample, 0.7, and 0.5 more: 1.2 lies three quarters of the way from 0.9 to 1.3.
    assert edge.hr_bpm == pytest.approx(117.5)
    test = LactateTest(stages, load_unit="bpm")
    assert edge.hr_bpm == pytest.approx(at_lactate(test, 1.2, Method.BASELINE).load)
