"""Suggestions while no band is chosen, and keeping a typed one for the athlete of the outing."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.model.bands import BandMethod
from slopebeat.session.outing.aim import BandChoice, MaximumFrom
from slopebeat.session.session import Session
from slopebeat.window.outing.aim_editor import AimEditor, KeepBand
from slopebeat.window.widgets.band_entry import METHODS

RIDE = Path(__file__).parents[3] / "samples" / "forest_road_patrol.tcx"


@pytest.fixture
def session(qtbot: QtBot) -> Session:
    """A ride on screen, and no band."""
    made = Session()
    with qtbot.waitSignal(made.outing.reviewed, timeout=WAIT_MS):
        made.open([RIDE])
    return made


def test_a_suggestion_is_taken_with_where_it_comes_from_and_undone(session: Session, qtbot: QtBot) -> None:
    editor = AimEditor(session)
    qtbot.addWidget(editor)
    first = editor.first
    first.show_suggestions()
    assert not first.isHidden()
    assert "no maximum reached" in first.seen_words.text()
    assert first.take_age.isHidden()
    first.age.setValue(40)
    assert "10-12 bpm" in first.age_words.text()
    first.take_age.click()
    # Tanaka 2001: 208 - 0.7 * 40 = 180 bpm; 60-70 % of it 108-126.
    band = session.aim.aim.band
    assert band is not None
    assert (band.lower_bpm, band.upper_bpm) == (108, 126)
    assert "±10-12" in editor.basis.text()
    assert first.isHidden()
    editor.band.hr_max.setValue(190)
    assert session.aim.entered.choice.maximum_from is MaximumFrom.TYPED
    session.history.undo()
    session.history.undo()
    assert session.aim.aim.band is None
    assert not first.isHidden()
    first.take_seen.click()
    assert "no maximum reached" in editor.basis.text()


def test_lactate_and_the_steady_hour_stand_in_the_list(session: Session, qtbot: QtBot) -> None:
    editor = AimEditor(session)
    qtbot.addWidget(editor)
    for method in (BandMethod.LACTATE, BandMethod.DRIFT_TEST):
        at = [each for each, _ in METHODS].index(method)
        editor.band.method.setCurrentIndex(at)
        editor.band.method.activated.emit(at)
        editor.band.lower_edge.setValue(118)
        editor.band.upper_edge.setValue(136)
        band = session.aim.aim.band
        assert band is not None
        assert band.method is method
        assert editor.band.advice.text()
        session.edit_aim(type(session.aim.entered)(BandChoice(), session.aim.entered.rest))


def test_nothing_is_kept_for_nobody(session: Session, qtbot: QtBot) -> None:
    keep = KeepBand(session, lambda: date(2031, 1, 1))
    qtbot.addWidget(keep)
    keep.offer()
    assert keep.isHidden()
