"""Notes on the outing on screen: acts that can be undone, and a place for the next one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from session.test_undo import ACT, SessionParts
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author, Note, NoteKind, merge_notes, new_note
from slopebeat.session.outing.notes import Notes


class NoteSession(SessionParts):
    """The parts for the other acts, with notes."""

    def __init__(self) -> None:
        super().__init__()
        self.notes = Notes(self.outing, self.history)

    @property
    def state(self) -> tuple[object, ...]:
        # When a note was changed last is no part of what is on screen: going back is a change as well.
        shown = tuple(replace(note, changed_utc=note.created_utc) for note in self.notes.all)
        return (*super().state, shown)

    def act(self, act: tuple[Any, ...]) -> None:
        name, *values = act
        if name == "note":
            kind, value = (NoteKind.LOAD, values[0]) if values[1] else (NoteKind.REMARK, None)
            self.notes.add(new_note(kind, Author.COACH, "steep", value, *values[2:]))
        elif name in ("rewrite", "take back"):
            if self.notes.all:
                note = self.notes.all[values[0] % len(self.notes.all)]
                if name == "rewrite":
                    self.notes.edit(note, text=values[1])
                else:
                    self.notes.take_back(note)
        else:
            super().act(act)


PLACE = st.sampled_from([(None, None), (5.0, None), (10.0, 20.0), (15.0, 90.0)])
NOTE_ACT = st.one_of(
    st.builds(
        lambda kg, load, place: ("note", kg, load, *place), st.sampled_from([0.0, 8.0]), st.booleans(), PLACE
    ),
    st.tuples(st.just("rewrite"), st.integers(0, 9), st.sampled_from(["steep", "flat", "wet"])),
    st.tuples(st.just("take back"), st.integers(0, 9)),
)


@given(st.lists(st.one_of(ACT, NOTE_ACT), max_size=25))
def test_a_walk_over_notes_marks_and_aim_ends_where_it_began(walk: list[Any]) -> None:
    parts = NoteSession()
    states = [parts.state]
    for act in walk:
        parts.act(act)
        if parts.state != states[-1]:
            states.append(parts.state)
    for state in reversed(states[:-1]):
        parts.history.undo()
        assert parts.state == state
    assert parts.history.undo_words is None
    assert parts.notes.all == ()
    for state in states[1:]:
        parts.history.redo()
        assert parts.state == state


@given(st.lists(st.one_of(NOTE_ACT, st.just(("undo",)), st.just(("redo",))), max_size=30))
def test_whatever_was_shown_last_survives_merging_with_every_state_before(walk: list[Any]) -> None:
    """A copy taken at any time and brought back must not change what is on screen."""
    parts = NoteSession()
    copies: list[tuple[Note, ...]] = []
    for act in walk:
        if act[0] in ("undo", "redo"):
            getattr(parts.history, act[0])()
        else:
            parts.act(act)
        copies.append(parts.notes.every)
    assert merge_notes(*copies, parts.notes.every) == parts.notes.every


def test_acts_are_named_for_undo_and_a_wrong_change_changes_nothing() -> None:
    parts = NoteSession()
    parts.notes.add(new_note(NoteKind.EFFORT, Author.ATHLETE, value=3.0, start_s=12.0))
    assert parts.history.undo_words == "note"
    with pytest.raises(UserError, match="not plausible"):
        parts.notes.edit(parts.notes.all[0], value=30.0)
    parts.notes.edit(parts.notes.all[0], value=3.0)
    assert parts.history.undo_words == "note", "the same content is no act"
    parts.notes.edit(parts.notes.all[0], value=4.0)
    assert parts.history.undo_words == "change of a note"
    parts.notes.take_back(parts.notes.all[0])
    assert parts.history.undo_words == "removal of a note"
    assert [note.value for note in parts.notes.every] == [4.0]


def test_a_place_is_named_from_either_end() -> None:
    parts = NoteSession()
    told: list[object] = []
    parts.notes.draft_changed.connect(lambda: told.append(parts.notes.draft))
    parts.notes.end(30.0)
    parts.notes.begin(50.0)
    parts.notes.end(20.0)
    parts.notes.set_draft(7.0, 7.0)
    parts.notes.drop_draft()
    assert told == [(50.0, None), (20.0, 50.0), (7.0, None), None]


def test_notes_belong_to_their_recording() -> None:
    parts = NoteSession()
    parts.outing.recordings *= 2
    parts.notes.add(new_note(NoteKind.SURFACE, Author.COACH, "gravel"))
    parts.notes.begin(5.0)
    parts.outing.choose(1)
    assert (parts.notes.all, parts.notes.draft) == ((), None)
    parts.outing.choose(0)
    assert [note.text for note in parts.notes.all] == ["gravel"]
