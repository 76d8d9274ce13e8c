"""Notes: what may be in one, how two sets merge, and the load they say was carried."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from typing import Any
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model.codec import encode, to_builtins
from slopebeat.model.errors import UserError
from slopebeat.model.notes import (
    RULES,
    Author,
    Note,
    NoteKind,
    TalkTest,
    merge_notes,
    new_note,
    note_from_values,
    present,
)
from slopebeat.model.outing.records import load_from_notes, temperature_from_notes

NOON = datetime(2026, 7, 11, 12, tzinfo=UTC)
LATER = NOON + timedelta(minutes=5)

times = st.integers(0, 3).map(lambda minutes: NOON + timedelta(minutes=minutes))
texts = st.text(st.characters(blacklist_categories=("Cc", "Cs")), min_size=1, max_size=8).filter(
    lambda text: bool(text.strip())
)


@st.composite
def notes(draw: Callable[[Any], Any]) -> Note:
    """A note of any kind with one of few identities and times, so that sets meet."""
    kind = draw(st.sampled_from(NoteKind))
    rule = RULES[kind]
    value = None
    if rule.needs_value or (rule.has_value and draw(st.booleans())):
        whole = st.integers(int(rule.low), int(rule.high)).map(float)
        value = draw(whole if rule.question else st.floats(rule.low, rule.high))
    start = draw(st.floats(0, 5000)) if rule.at_moment or draw(st.booleans()) else None
    length = None if start is None or rule.at_moment else draw(st.none() | st.floats(1, 900))
    return Note(
        identity=str(UUID(int=draw(st.integers(1, 4)))),
        kind=kind,
        author=draw(st.sampled_from(Author)),
        text=draw(texts),
        created_utc=NOON,
        changed_utc=draw(times),
        value=value,
        start_s=start,
        end_s=None if length is None or start is None else start + length,
        deleted_utc=draw(st.none() | times),
    )


sets = st.lists(notes(), max_size=6)


@given(sets, sets)
def test_merging_is_the_same_either_way_round(a: list[Note], b: list[Note]) -> None:
    assert merge_notes(a, b) == merge_notes(b, a)


@given(sets, sets, sets)
def test_merging_three_does_not_depend_on_which_two_come_first(
    a: list[Note], b: list[Note], c: list[Note]
) -> None:
    assert merge_notes(merge_notes(a, b), c) == merge_notes(a, merge_notes(b, c)) == merge_notes(a, b, c)


@given(sets)
def test_merging_again_changes_nothing(a: list[Note]) -> None:
    once = merge_notes(a)
    assert merge_notes(once, once) == once == merge_notes(once, a)


@given(sets, sets)
def test_merging_loses_no_note_and_keeps_none_that_has_a_later_state(a: list[Note], b: list[Note]) -> None:
    merged = {note.identity: note for note in merge_notes(a, b)}
    assert set(merged) == {note.identity for note in [*a, *b]}
    assert all(merged[note.identity].changed_utc >= note.changed_utc for note in [*a, *b])
    assert all(note in [*a, *b] for note in merged.values())


@given(notes())
def test_a_note_comes_back_from_its_json_text(note: Note) -> None:
    assert note_from_values(json.loads(encode(note))) == note


def test_a_note_taken_back_stays_so_when_an_older_copy_returns() -> None:
    note = new_note(NoteKind.REMARK, Author.COACH, "Slower on the first ramp.", when=NOON)
    gone = note.taken_back(LATER)
    assert merge_notes([gone], [note]) == (gone,)
    assert present([gone]) == ()


def test_an_edit_counts_as_later_even_when_the_clock_went_back() -> None:
    note = new_note(NoteKind.REMARK, Author.COACH, "First", when=LATER)
    edited = note.edited(NOON, text="Second")
    assert merge_notes([note], [edited])[0].text == "Second"
    assert note.taken_back(NOON).changed_utc > note.changed_utc


def test_places_and_headings_are_said_in_words() -> None:
    whole = new_note(NoteKind.TALK_TEST, Author.ATHLETE, value=TalkTest.FULL_SENTENCES)
    assert (whole.heading, whole.place) == ("talk test: full sentences", "whole outing")
    moment = new_note(NoteKind.LACTATE, Author.COACH, value=1.4, start_s=2530.0)
    assert (moment.heading, moment.place) == ("lactate sample 1.4 mmol/L", "0:42:10")
    span = new_note(NoteKind.EFFORT, Author.ATHLETE, value=3, start_s=60.0, end_s=120.0)
    assert (span.heading, span.place) == ("perceived effort 3 of 10", "0:01:00-0:02:00")


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": NoteKind.REMARK, "text": "  "},
        {"kind": NoteKind.REMARK, "text": "words", "value": 3.0},
        {"kind": NoteKind.REMARK, "text": "x" * 4001},
        {"kind": NoteKind.REMARK, "text": "bell\x07"},
        {"kind": NoteKind.REMARK, "text": "half \ud800 a character"},
        {"kind": NoteKind.EFFORT},
        {"kind": NoteKind.EFFORT, "value": 11.0},
        {"kind": NoteKind.EFFORT, "value": float("nan")},
        {"kind": NoteKind.TALK_TEST, "value": 1.5},
        {"kind": NoteKind.LACTATE, "value": 1.4},
        {"kind": NoteKind.LACTATE, "value": 1.4, "start_s": 5.0, "end_s": 9.0},
        {"kind": NoteKind.LACTATE, "value": 90.0, "start_s": 5.0},
        {"kind": NoteKind.LOAD, "value": -1.0},
        {"kind": NoteKind.WEATHER},
        {"kind": NoteKind.SURFACE, "text": "scree", "end_s": 9.0},
        {"kind": NoteKind.SURFACE, "text": "scree", "start_s": -1.0},
        {"kind": NoteKind.SURFACE, "text": "scree", "start_s": 9.0, "end_s": 9.0},
        {"kind": NoteKind.SURFACE, "text": "scree", "start_s": float("inf")},
    ],
)
def test_what_a_note_cannot_hold_is_refused_in_a_sentence(wrong: dict[str, Any]) -> None:
    with pytest.raises(UserError) as refused:
        new_note(author=Author.COACH, **wrong)
    assert str(refused.value)[0].isupper()
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("key", ["identity", "kind", "created_utc", "value", "text"])
@pytest.mark.parametrize("value", [{}, "x", 1e400, None])
def test_values_that_are_no_note_are_refused_in_a_sentence(key: str, value: object) -> None:
    good = to_builtins(new_note(NoteKind.LOAD, Author.COACH, value=12.0))
    if (key, value) == ("text", "x"):
        return
    with pytest.raises(UserError):
        note_from_values(good | {key: value})


def test_times_that_are_not_utc_are_our_own_mistake() -> None:
    for when in (datetime(2026, 7, 11), datetime(2026, 7, 11, tzinfo=timezone(timedelta(hours=2)))):
        with pytest.raises(ValueError, match="UTC"):
            new_note(NoteKind.REMARK, Author.COACH, "words", when=when)


def load(value: float, start_s: float | None = None, end_s: float | None = None, at: datetime = NOON) -> Note:
    return new_note(NoteKind.LOAD, Author.ATHLETE, value=value, start_s=start_s, end_s=end_s, when=at)


def test_load_notes_say_what_was_carried_when() -> None:
    t = np.arange(0.0, 100.0, 10.0)
    assert load_from_notes([], t, 5.0).tolist() == [5.0] * 10
    assert load_from_notes([], t, np.arange(10.0)).tolist() == list(range(10))
    assert load_from_notes([load(12.0)], t, 5.0).tolist() == [12.0] * 10
    set_down = [load(3.0, 50.0), load(12.0)]
    assert load_from_notes(set_down, t, 5.0).tolist() == [12.0] * 5 + [3.0] * 5
    carried = [*set_down, load(20.0, 20.0, 40.0), load(21.0, 30.0, 40.0, LATER)]
    assert load_from_notes(carried, t, 5.0).tolist() == [12, 12, 20, 21, 12, 3, 3, 3, 3, 3]


def test_a_load_note_taken_back_or_of_another_kind_carries_nothing() -> None:
    gone = load(12.0).taken_back(LATER)
    other = new_note(NoteKind.EFFORT, Author.ATHLETE, value=9.0)
    assert load_from_notes([gone, other], [0.0, 1.0], 0.0).tolist() == [0.0, 0.0]


def test_of_two_load_notes_of_one_place_the_one_written_later_holds() -> None:
    notes = [load(10.0, at=LATER), load(8.0)]
    assert load_from_notes(notes, [0.0], 0.0) == load_from_notes(notes[::-1], [0.0], 0.0) == [10.0]


def test_a_change_taken_back_leaves_the_load_as_it_was() -> None:
    first, second = load(8.0), load(10.0, at=LATER)
    there_and_back = first.edited(LATER + timedelta(hours=1), value=9.0).edited(LATER, value=8.0)
    assert load_from_notes([there_and_back, second], [0.0], 0.0) == [10.0]


def test_the_air_is_as_warm_as_the_weather_notes_say() -> None:
    def weather(value: float | None, start_s: float | None = None, end_s: float | None = None) -> Note:
        return new_note(NoteKind.WEATHER, Author.COACH, "windy", value, start_s, end_s)

    t = [0.0, 10.0, 20.0, 30.0]
    assert np.isnan(temperature_from_notes([weather(None), load(12.0)], t)).all()
    told = temperature_from_notes([weather(5.0, 10.0), weather(-2.0, 20.0, 30.0)], t)
    assert np.isnan(told[0])
    assert told[1:].tolist() == [5.0, -2.0, 5.0]
