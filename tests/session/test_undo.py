"""Whatever is done and taken back ends where it began."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.recordings import recording
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.recording import Recording
from slopebeat.session.outing.aim import AimState, BandChoice, Entered, aim_act
from slopebeat.session.outing.doubts import Doubts
from slopebeat.session.outing.outing import OpenOuting
from slopebeat.session.steps import Steps
from slopebeat.session.undo import History

PROPOSED = (
    Mark(10.0, 20.0, Channel.HEART_RATE, Reason.SPIKE),
    Mark(15.0, 16.0, Channel.POSITION, Reason.POSITION_JUMP),
    Mark(40.0, 90.0, Channel.HEART_RATE, Reason.FROZEN),
)
SPAN_S = 120.0


class AtOnce:
    """Background work done before it returns."""

    def run_in_background(
        self, work: Callable[..., Any], on_done: Callable[[Any], None], on_error: Callable[..., None], *_: Any
    ) -> SimpleNamespace:
        on_done(work(lambda share: None))
        return SimpleNamespace(cancel=lambda: None)


class SessionParts:
    """Aim, outing, history and doubts as the session joins them, without files or threads."""

    def __init__(self) -> None:
        def review(recording: Recording, aim: object, marks: object, notes: object) -> SimpleNamespace:
            return SimpleNamespace(recording=recording, aim=aim, marks=PROPOSED if marks is None else marks)

        self.aim = AimState(Entered(BandChoice(lower_bpm=112, upper_bpm=131)))
        self.outing = OpenOuting(AtOnce(), self.aim, Steps(), review)  # type: ignore[arg-type]
        self.history = History()
        self.doubts = Doubts(self.outing, self.history)
        self.outing.set_recordings((recording(np.arange(SPAN_S)),))

    @property
    def state(self) -> tuple[object, ...]:
        review = self.outing.review
        assert review is not None
        return self.aim.entered, self.outing.marks, review.marks, review.aim

    def act(self, act: tuple[Any, ...]) -> None:
        name, *values = act
        marks = self.outing.marks_now()
        assert marks is not None
        if name == "edit":
            field, value = values
            entered = self.aim.entered
            after = replace(entered, rest=replace(entered.rest, **{field: value}))
            if after != entered:
                self.history.do(aim_act(self.aim, entered, after))
        elif name == "band":
            entered = self.aim.entered
            after = replace(entered, choice=replace(entered.choice, upper_bpm=values[0]))
            if after != entered:
                self.history.do(aim_act(self.aim, entered, after))
        elif name == "add":
            self.doubts.add(*values)
        elif marks:
            getattr(self.doubts, name)(marks[values[0] % len(marks)])


SECONDS = st.floats(-10.0, 130.0)
ACT = st.one_of(
    st.tuples(st.just("edit"), st.sampled_from(["target_s", "body_mass_kg", "load_kg"]), st.integers(30, 90)),
    st.tuples(st.just("band"), st.integers(100, 140)),
    st.tuples(st.just("add"), SECONDS, SECONDS),
    st.tuples(st.sampled_from(["accept", "reject", "remove"]), st.integers(0, 9)),
)


@given(st.lists(ACT, max_size=25))
def test_a_walk_of_acts_undone_ends_where_it_began_and_redone_where_it_ended(walk: list[Any]) -> None:
    parts = SessionParts()
    states = [parts.state]
    for act in walk:
        parts.act(act)
        if parts.state != states[-1]:
            states.append(parts.state)
    for state in reversed(states[:-1]):
        parts.history.undo()
        assert parts.state == state
    assert parts.history.undo_words is None
    assert parts.outing.marks is None
    for state in states[1:]:
        parts.history.redo()
        assert parts.state == state
    assert parts.history.redo_words is None


@given(st.lists(st.one_of(ACT, st.just(("undo",)), st.just(("redo",))), max_size=40))
def test_undo_and_redo_between_acts_never_lose_the_beginning(walk: list[Any]) -> None:
    parts = SessionParts()
    start = parts.state
    for act in walk:
        if act[0] in ("undo", "redo"):
            getattr(parts.history, act[0])()
        else:
            parts.act(act)
    while parts.history.undo_words is not None:
        parts.history.undo()
    assert parts.state == start


def test_a_new_act_after_undo_leaves_nothing_to_redo() -> None:
    parts = SessionParts()
    parts.act(("band", 135))
    parts.history.undo()
    assert parts.history.redo_words == "change of the band"
    parts.act(("edit", "load_kg", 12))
    assert parts.history.redo_words is None
    assert parts.history.undo_words == "change of the load"


def test_a_proposed_mark_can_be_rejected_but_never_removed() -> None:
    parts = SessionParts()
    parts.doubts.remove(PROPOSED[0])
    assert parts.outing.marks is None
    parts.doubts.reject(PROPOSED[0])
    assert parts.outing.marks == (replace(PROPOSED[0], state=MarkState.REJECTED), *PROPOSED[1:])


def by_hand(parts: SessionParts) -> list[Mark]:
    return [mark for mark in parts.outing.marks or () if mark.reason is Reason.BY_HAND]


@pytest.mark.parametrize(("one", "other"), [(50.0, 70.0), (70.0, 50.0)])
def test_a_stretch_begun_and_ended_at_the_cursor_is_marked_whichever_end_comes_first(
    one: float, other: float
) -> None:
    parts = SessionParts()
    parts.doubts.end(other)
    assert parts.outing.marks is None
    parts.doubts.begin(one)
    parts.doubts.end(other)
    assert parts.doubts.draft_s is None
    (mine,) = by_hand(parts)
    assert (mine.start_s, mine.end_s, mine.channel) == (50.0, 70.0, Channel.HEART_RATE)
    parts.doubts.remove(mine)
    assert parts.outing.marks == PROPOSED


def test_another_set_of_recordings_begins_without_decisions() -> None:
    parts = SessionParts()
    parts.act(("add", 30.0, 60.0))
    parts.outing.set_recordings((recording(np.arange(SPAN_S)),))
    assert parts.outing.marks is None


def test_two_hundred_acts_can_be_taken_back_and_no_more() -> None:
    parts = SessionParts()
    for number in range(210):
        parts.act(("edit", "target_s", 1000.0 + number))
    taken_back = 0
    while parts.history.undo_words is not None:
        parts.history.undo()
        taken_back += 1
    assert taken_back == 200
    assert parts.aim.entered.rest.target_s == 1009.0, "the ten oldest stay done"
