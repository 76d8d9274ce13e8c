"""A line joins rows that belong together only where they stand one below the other."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QTableView
from pytestqt.qtbot import QtBot

from slopebeat.plots.theme import theme
from slopebeat.window.library.list import LINE_PX, TogetherLine

DAYS = (None, "a", "a", "a", "b", None, "b")


@pytest.fixture
def table(qtbot: QtBot) -> QTableView:
    model = QStandardItemModel()
    for day in DAYS:
        model.appendRow(QStandardItem(day or ""))
    made = QTableView()
    qtbot.addWidget(made)
    made.setModel(model)
    model.setParent(made)
    made.setItemDelegateForColumn(0, TogetherLine(made, lambda row: DAYS[row]))
    made.setShowGrid(False)
    made.resize(240, 320)
    return made


def test_neighbours_of_one_day_are_joined(table: QTableView) -> None:
    line = table.itemDelegateForColumn(0)
    assert isinstance(line, TogetherLine)
    nothing = (False, False)
    found = [line.joins(row, len(DAYS)) for row in range(len(DAYS))]
    assert found == [nothing, (False, True), (True, True), (True, False), nothing, nothing, nothing]


def test_the_line_is_painted_through_and_nowhere_else(table: QTableView) -> None:
    picture = table.viewport().grab().toImage()
    ink = theme.colours.muted
    middles = [table.visualRect(table.model().index(row, 0)).center().y() for row in range(len(DAYS))]
    painted = [picture.pixelColor(LINE_PX - 1, y).name() == ink for y in middles]
    assert painted == [False, True, True, True, False, False, False]
