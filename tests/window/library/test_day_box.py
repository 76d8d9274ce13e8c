"""A day typed in full keeps its year, whatever stood there before."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from slopebeat.model.errors import UserError
from slopebeat.model.people import Athlete
from slopebeat.window.library.band.finder import BandFinder


@pytest.mark.parametrize("typed", ["2024-05-06", "20240506", "2024-5-6", "6.5.2024"])
def test_a_day_typed_in_full_keeps_its_year(typed: str, qtbot: QtBot) -> None:
    finder = BandFinder(None, Athlete("a" * 36, "Hut warden"), lambda *_: None, date(2026, 11, 28))
    qtbot.addWidget(finder)
    finder.method.setCurrentText("Set by hand")
    finder.page.lower_edge.setValue(112)  # type: ignore[attr-defined]
    finder.page.upper_edge.setValue(131)  # type: ignore[attr-defined]
    finder.day.setFocus()
    finder.day.selectAll()
    qtbot.keyClicks(finder.day, typed)
    period = finder.period()
    assert period is not None
    assert period.from_day == date(2024, 5, 6)
    qtbot.keyClick(finder.day, Qt.Key.Key_Up)
    assert finder.day.day() == date(2024, 5, 7)


def test_what_is_no_day_is_told_and_not_saved(qtbot: QtBot) -> None:
    finder = BandFinder(None, Athlete("a" * 36, "Hut warden"), lambda *_: None, date(2026, 11, 28))
    qtbot.addWidget(finder)
    finder.day.setText("2024-02-30")
    assert "'2024-02-30' is not" in finder.problem.text()
    assert not finder.buttons.button(finder.buttons.StandardButton.Save).isEnabled()
    with pytest.raises(UserError):
        finder.day.day()
