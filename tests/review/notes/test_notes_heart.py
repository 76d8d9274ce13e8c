"""Heart rate at the place of a note, by hand, and where the talk test is at odds with it."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author, Note, NoteKind, TalkTest, new_note
from slopebeat.review.notes.heart import disagreement, heart_there, heart_words
from slopebeat.review.notes.place import place_from_text, place_text

T = np.arange(3600.0)
STAIRS = track(T, hr=100.0 + 10.0 * (T // 600))
"""Ten minutes each at 100, 110 ... 150 bpm."""

BAND = Band(110, 130)


def talk(said: TalkTest, minute: float) -> Note:
    return new_note(NoteKind.TALK_TEST, Author.ATHLETE, value=float(said), start_s=60.0 * minute)


@pytest.mark.parametrize(
    ("minute", "bpm", "state"),
    [
        (9.0, 100.0, BandState.BELOW),
        (15.0, 110.0, BandState.IN_BAND),
        (35.0, 130.0, BandState.IN_BAND),
        (45.0, 140.0, BandState.ABOVE),
    ],
)
def test_a_moment_takes_the_minute_before_it_and_edges_are_inside(
    minute: float, bpm: float, state: BandState
) -> None:
    there = heart_there(talk(TalkTest.PHRASES, minute), STAIRS, BAND)
    assert there is not None
    assert (there.mean_bpm, there.state) == (bpm, state)


def test_a_stretch_says_where_most_of_its_time_was() -> None:
    # 25 to 50 min: 5 min at 120, 10 at 130, 10 at 140: mean 132, 60 % in band, 40 % above.
    note = new_note(NoteKind.EFFORT, Author.ATHLETE, value=4.0, start_s=1500.0, end_s=3000.0)
    there = heart_there(note, STAIRS, BAND)
    assert there is not None
    assert there.mean_bpm == pytest.approx(132.0)
    assert there.state is BandState.IN_BAND
    assert there.share == pytest.approx(0.6)
    assert heart_words(there) == "132 bpm, in band 60 %"


def test_the_whole_outing_is_a_stretch_and_without_a_band_only_the_mean_is_said() -> None:
    note = new_note(NoteKind.EFFORT, Author.ATHLETE, value=4.0)
    assert heart_words(heart_there(note, STAIRS, None)) == "125 bpm"


def test_untrusted_heart_rate_says_nothing() -> None:
    deaf = track(T, hr=np.where(T < 900, np.nan, 120.0))
    assert heart_there(talk(TalkTest.PHRASES, 10.0), deaf, BAND) is None
    assert heart_words(None) == "–"
    assert disagreement(talk(TalkTest.PHRASES, 10.0), None) == ""


@pytest.mark.parametrize(
    ("said", "minute", "at_odds"),
    [
        (TalkTest.FULL_SENTENCES, 45.0, True),
        (TalkTest.FULL_SENTENCES, 25.0, False),
        (TalkTest.WORDS, 45.0, False),
        (TalkTest.WORDS, 25.0, True),
        (TalkTest.PHRASES, 9.0, True),
    ],
)
def test_the_talk_test_is_at_odds_only_across_the_upper_edge(
    said: TalkTest, minute: float, at_odds: bool
) -> None:
    note = talk(said, minute)
    assert bool(disagreement(note, heart_there(note, STAIRS, BAND))) is at_odds


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ("", (None, None)),
        ("Whole outing", (None, None)),
        ("0:42:10", (2530.0, None)),
        ("42:10", (2530.0, None)),
        ("42", (2520.0, None)),
        ("42 min", (2520.0, None)),
        ("0:40:00-1:02:30", (2400.0, 3750.0)),
        (" 0:40:00 – 1:02:30 ", (2400.0, 3750.0)),
    ],
)
def test_places_are_read_as_people_type_them(typed: str, place: tuple[float | None, float | None]) -> None:
    assert place_from_text(typed, 4000.0) == place


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("noon", "no time"),
        ("0:61:00", "end at 59"),
        ("1:10:00", "ends at"),
        ("0:20:00-0:10:00", "comes after its start"),
        ("1-2-3", "two with a dash"),
    ],
)
def test_what_is_no_place_is_said_in_a_sentence(typed: str, words: str) -> None:
    with pytest.raises(UserError, match=words):
        place_from_text(typed, 4000.0)


def test_a_place_is_read_back_as_it_is_shown() -> None:
    for place in ((None, None), (2530.0, None), (2400.0, 3750.0)):
        assert place_from_text(place_text(place), 4000.0) == place
