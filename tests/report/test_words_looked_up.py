"""No word of a report is missing from the catalogues.

Every text that is looked up comes back between marks here, so a word outside them was never looked up.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from helpers.marked_language import marked, unmarked, words
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band, band_from_hr_max
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording, title_of
from slopebeat.report.bars import account_bar, cause_bars
from slopebeat.report.html import html
from slopebeat.report.outing_chart import outing_chart
from slopebeat.report.page import LADDER, pages_of
from slopebeat.report.shapes import Text
from slopebeat.review.export import summary_text
from slopebeat.review.outing import Review, review_recording

SAMPLES = Path(__file__).resolve().parents[2] / "samples"

NOTE = "Cloud below the ridge"


@pytest.fixture
def review() -> Review:
    """Reviewed between marks: sentences are made when a recording is read and reviewed."""
    with marked():
        (recording,) = read_recordings(SAMPLES / "hut_supply_hike.fit")
        aim = Aim(band_from_hr_max(187.0), load_kg=8.0, load_until_s=5400.0)
        return review_recording(recording, aim)


def own(recording: Recording) -> set[str]:
    """The words of the file itself and of the note."""
    return words(title_of(recording), recording.file_name, recording.device, NOTE)


def shown(text: str) -> str:
    """What a browser shows: no style, no tags."""
    return re.sub(r"<[^>]*>", " ", re.sub(r"(?s)<(style|desc)>.*?</\1>", " ", text))


def test_a_report_holds_no_word_that_was_not_looked_up(review: Review) -> None:
    notes = [
        new_note(NoteKind.WEATHER, Author.COACH, NOTE, value=4.0, start_s=600.0),
        new_note(NoteKind.TALK_TEST, Author.ATHLETE, value=2.0, start_s=900.0),
        new_note(NoteKind.LACTATE, Author.COACH, value=1.2, start_s=1500.0),
        new_note(NoteKind.LACTATE, Author.COACH, value=2.4, start_s=4000.0),
    ]
    with marked():
        page = pages_of(review, notes)(LADDER[-1])
        assert unmarked(shown(html(page)), own(review.recording)) == []


def test_pictures_hold_no_word_that_was_not_looked_up(review: Review) -> None:
    assert review.account is not None
    assert review.causes is not None
    with marked():
        for scene in (outing_chart(review), account_bar(review.account), cause_bars(review.causes)):
            said = [shape.text for shape in scene.shapes if isinstance(shape, Text)]
            assert said
            assert unmarked("\n".join((*said, scene.title, scene.description)), own(review.recording)) == []


def test_a_summary_to_paste_holds_no_word_that_was_not_looked_up(review: Review) -> None:
    with marked():
        assert unmarked(summary_text(review), own(review.recording)) == []


def test_the_review_without_a_band_holds_no_word_that_was_not_looked_up() -> None:
    with marked():
        (recording,) = read_recordings(SAMPLES / "lake_shore_walk.gpx")
        for aim in (Aim(), Aim(Band(112, 131))):
            page = pages_of(review_recording(recording, aim))(LADDER[0])
            assert unmarked(shown(html(page)), own(recording)) == []
