"""The visible range stays inside the outing whatever is asked of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.session.outing.view_state import SHORTEST_VIEW_S, Cursor, Picked, Selection, VisibleRange
from slopebeat.session.session import Session

SECONDS = st.floats(-1e5, 1e5)


@given(SECONDS, SECONDS)
def test_the_range_never_leaves_the_outing(start_s: float, end_s: float) -> None:
    visible = VisibleRange()
    visible.set_outing(3600.0)
    visible.show(start_s, end_s)
    assert 0.0 <= visible.start_s < visible.end_s <= 3600.0 + 1e-6
    assert visible.end_s - visible.start_s >= SHORTEST_VIEW_S - 1e-6


@given(st.floats(0.05, 0.95))
def test_zooming_keeps_the_point_it_is_about_in_its_place(place: float) -> None:
    visible = VisibleRange()
    visible.set_outing(3600.0)
    about = place * 3600.0
    visible.zoom(0.5, about)
    assert (about - visible.start_s) / (visible.end_s - visible.start_s) == pytest.approx(place)


def test_an_outing_shorter_than_the_shortest_view_is_shown_whole(qtbot: QtBot) -> None:
    visible = VisibleRange()
    visible.set_outing(5.0)
    assert (visible.start_s, visible.end_s) == (0.0, SHORTEST_VIEW_S)


def test_nothing_is_said_when_nothing_changes(qtbot: QtBot) -> None:
    visible, cursor, selection = VisibleRange(), Cursor(), Selection()
    visible.set_outing(100.0)
    cursor.move(5.0)
    with (
        qtbot.assertNotEmitted(visible.changed),
        qtbot.assertNotEmitted(cursor.changed),
        qtbot.assertNotEmitted(selection.changed),
    ):
        visible.show(0.0, 100.0)
        cursor.move(5.0)
        selection.clear()


def test_selecting_and_clearing_are_told(qtbot: QtBot) -> None:
    selection = Selection()
    with qtbot.waitSignal(selection.changed, timeout=WAIT_MS):
        selection.select(Picked.CLIMB, 2, 10.0, 20.0)
    with qtbot.waitSignal(selection.changed, timeout=WAIT_MS):
        selection.clear()
    assert selection.kind is None


@pytest.fixture
def session(qtbot: QtBot) -> Iterator[Session]:
    made = Session()
    made.visible.set_outing(7200.0)
    yield made
    made.close()


@pytest.mark.parametrize(
    ("kind", "ends", "shown"),
    [
        # 15 % of the stretch on either side ...
        (Picked.CLIMB, (1000.0, 2000.0), (850.0, 2150.0)),
        (Picked.MARK, (1000.0, 2000.0), (850.0, 2150.0)),
        # ... of five minutes at least: what lasts seconds is seen with its surroundings.
        (Picked.CLIMB, (1000.0, 1040.0), (825.0, 1215.0)),
        (Picked.MARK, (1000.0, 1010.0), (810.0, 1200.0)),
        (Picked.NOTE, (3000.0, 3000.0), (2805.0, 3195.0)),
    ],
)
def test_what_is_picked_is_shown_with_room_around_it(
    session: Session, kind: Picked, ends: tuple[float, float], shown: tuple[float, float]
) -> None:
    session.selection.select(kind, 0, *ends)
    assert (session.visible.start_s, session.visible.end_s) == pytest.approx(shown)
