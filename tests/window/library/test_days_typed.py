"""The days of the filter, typed in full, keep their year."""

from __future__ import annotations

from datetime import date

from pytestqt.qtbot import QtBot

from slopebeat.window.library.filters import SPANS, DaysBox


def test_days_of_the_filter_keep_their_year(qtbot: QtBot) -> None:
    box = DaysBox()
    qtbot.addWidget(box)
    box.span.setCurrentIndex(len(SPANS))
    box.span.activated.emit(len(SPANS))
    for each, typed in ((box.first, "2024-05-06"), (box.last, "2024-06-30")):
        each.selectAll()
        qtbot.keyClicks(each, typed)
    assert box.days() == (date(2024, 5, 6), date(2024, 6, 30))
    box.last.setText("2024-06-")
    assert box.days() == (date(2024, 5, 6), None)
