"""What earlier outings show to be wrong in a heart rate: found, said in words, and never fed back."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from helpers.earlier_outings import evidence_before, recordings
from slopebeat.library.results import KeptEvidence
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.outing.records import covered
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.samples import sample_table
from slopebeat.review.earlier import BY_EARLIER, EarlierOutings, doubt_words
from slopebeat.review.evidence import evidence_of
from slopebeat.review.imports.work import _own
from slopebeat.review.outing import Review, review_recording

FAULT = (1200.0, 1700.0)
"""Seconds in which the sensor reads too low."""


def kept(count: int, on_bike: bool = False) -> tuple[KeptEvidence, ...]:
    made = evidence_before(8, on_bike)[:count]
    return tuple(KeptEvidence(str(i), f"Hump {i}", True, one) for i, one in enumerate(made))


def walk() -> Recording:
    """The last of the invented walks without its end, where the invented noise strays."""
    made = recordings(8)[7]
    table = made.samples
    return replace(made, samples=table.rows(table["t_s"] < table["t_s"][-1] - 600.0))


def with_fault(made: Recording, low_by: float) -> Recording:
    table = made.samples.frame()
    t = table["t_s"].to_numpy()
    here = (t >= FAULT[0]) & (t < FAULT[1])
    table.loc[here, "hr_bpm"] = table.loc[here, "hr_bpm"] - low_by
    return replace(made, samples=sample_table(table))


def spoken(made: Recording, past: tuple[KeptEvidence, ...]) -> Review:
    return EarlierOutings(past).speak(
        review_recording(made, Aim()), lambda marks: review_recording(made, Aim(), marks)
    )


def by_earlier(review: Review) -> list[Mark]:
    return [mark for mark in review.marks if mark.reason in BY_EARLIER]


@pytest.fixture(scope="module")
def faulty() -> Recording:
    return with_fault(walk(), 45.0)


def test_a_low_stretch_is_found_and_said_with_its_numbers(faulty: Recording) -> None:
    review = spoken(faulty, kept(7))
    marks = by_earlier(review)
    assert [mark.reason for mark in marks] == [Reason.BELOW_EARLIER] * len(marks)
    found = covered(review.track.t_s, marks, Channel.HEART_RATE)
    t = review.track.t_s
    inside = (t >= FAULT[0]) & (t < FAULT[1])
    assert found[inside].mean() > 0.8
    assert not found[~inside & ((t < FAULT[0] - 60.0) | (t > FAULT[1] + 60.0))].any()
    assert np.isnan(review.track.hr_bpm[found]).all()
    words = doubt_words(review, marks[0])
    assert "bpm below what your last 7 walks foretell at this work, for" in words
    assert 35.0 <= float(words.split()[0]) <= 55.0


def test_a_clean_outing_is_left_alone_and_has_its_line() -> None:
    review = spoken(walk(), kept(7))
    assert by_earlier(review) == []
    assert review.predicted is not None
    off = review.track.hr_bpm - review.predicted.hr_bpm
    assert abs(float(np.nanmedian(off))) < 10.0


def test_importing_the_outing_itself_and_later_ones_changes_nothing(faulty: Recording) -> None:
    own = KeptEvidence("own", "", True, evidence_of(review_recording(faulty, Aim())))
    later = replace(
        own, identity="later", evidence=replace(own.evidence, start_utc=faulty.start_utc.replace(year=2030))
    )
    assert by_earlier(spoken(faulty, kept(7))) == by_earlier(spoken(faulty, (*kept(7), own, later)))


def test_what_is_left_out_of_learning_says_nothing(faulty: Recording) -> None:
    silent = tuple(replace(one, teaches=False) for one in kept(7))
    assert by_earlier(spoken(faulty, silent)) == []
    assert by_earlier(spoken(faulty, kept(2))) == []


def test_rides_by_modelled_work_are_not_doubted_by_earlier_ones() -> None:
    review = spoken(with_fault(recordings(8, True)[7], 45.0), kept(7, True))
    assert review.predicted is None
    assert by_earlier(review) == []


def test_nothing_is_said_of_work_never_held(faulty: Recording) -> None:
    """Gone twice as fast, most of the work lies beyond what the earlier walks held."""
    table = faulty.samples.frame()
    table["distance_m"] = table["distance_m"] * 2.0
    review = spoken(replace(faulty, samples=sample_table(table)), kept(7))
    assert review.predicted is not None
    beyond = np.isnan(review.predicted.hr_bpm)
    assert beyond.mean() > 0.3
    found = covered(review.track.t_s, by_earlier(review), Channel.HEART_RATE)
    assert found[beyond].mean() < 0.02


def test_decided_marks_stand_and_what_is_merely_proposed_is_not_kept_for_later(faulty: Recording) -> None:
    past = kept(7)
    marks = spoken(faulty, past).marks
    rejected = tuple(replace(m, state=MarkState.REJECTED) if m.reason in BY_EARLIER else m for m in marks)
    decided = EarlierOutings(past).speak(review_recording(faulty, Aim(), rejected))
    here = covered(decided.track.t_s, [m for m in marks if m.reason in BY_EARLIER], Channel.HEART_RATE)
    assert np.isfinite(decided.track.hr_bpm[here]).mean() > 0.97
    own = _own(marks) or ()
    assert [m for m in own if m.reason in BY_EARLIER] == []
    accepted = tuple(replace(m, state=MarkState.ACCEPTED) for m in marks)
    assert _own(accepted) == accepted
