"""Reviews made again from what is kept of the one before are what a review from the beginning says."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from uuid import UUID

import pytest

from helpers.checks import same
from slopebeat.analysis.account import counting
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, Note, NoteKind
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.review import outing, stages
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.stages import StageCache, Stages

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
BAND = Aim(band=Band(112, 131))


@pytest.fixture(scope="module")
def recording() -> Recording:
    return read_recordings(SAMPLES / "lake_shore_walk.gpx")[0]


def load_note(kg: float) -> Note:
    now = datetime(2026, 7, 1, tzinfo=UTC)
    return Note(str(UUID(int=1)), NoteKind.LOAD, Author.ATHLETE, "pack", now, now, value=kg)


def test_each_change_gives_what_a_review_from_the_beginning_gives(recording: Recording) -> None:
    review = Stages()
    doubted = (Mark(600.0, 900.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED),)
    for aim, marks, notes in (
        (BAND, None, ()),
        (replace(BAND, band=Band(120, 140)), None, ()),
        (replace(BAND, band=None), None, ()),
        (replace(BAND, target_s=600.0), None, ()),
        (replace(BAND, body_mass_kg=90.0), None, ()),
        (BAND, doubted, ()),
        (BAND, doubted, (load_note(12.0),)),
        (BAND, doubted, (load_note(15.0),)),
        (BAND, None, ()),
    ):
        assert same(review(recording, aim, marks, notes), review_recording(recording, aim, marks, notes))


def test_a_band_edit_neither_cleans_nor_fits_nor_makes_ready_again(
    recording: Recording, monkeypatch: pytest.MonkeyPatch
) -> None:
    review = Stages()
    first: Review = review(recording, BAND)

    def never(*_values: object) -> object:
        raise AssertionError("this does not depend on the band")

    for module, name in (
        *((stages, "clean"), (outing, "fit_response"), (stages, "assess"), (outing, "speeds_by_grade")),
        *((counting, "CauseFinder"), (counting, "EpisodeFinder"), (counting, "HeartOnClimbs")),
        *((counting, "steadiness_of"), (counting, "foretelling_of")),
    ):
        monkeypatch.setattr(module, name, never)
    again = review(recording, replace(BAND, band=Band(100, 120), target_s=60.0))
    assert again.response is first.response
    assert again.account != first.account


def test_what_lies_where_another_lay_in_memory_is_not_taken_for_it() -> None:
    class Source:
        """Gone as soon as nobody keeps it, so that the next one may come to lie at its place."""

    stage = StageCache()
    made = [stage.get(Source(), (), partial(int, number)) for number in range(100)]
    assert made == list(range(100))
    source = Source()
    assert [stage.get(source, (key,), partial(int, key)) for key in (1, 2)] == [1, 2]
    assert stage.get(source, (1,), partial(int, 3)) == 1
