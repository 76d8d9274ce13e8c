"""Columns are as wide as their words need, wherever in the table the longest stand."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from slopebeat.model.language import mark
from slopebeat.window.widgets.rows import Column
from slopebeat.window.widgets.table import RowsTable

LONG = "38, too much: over 30 minutes"


@pytest.mark.parametrize("count", [2, 60, 104])
def test_the_longest_words_of_a_short_table_are_never_cut(count: int, qtbot: QtBot) -> None:
    column = Column(mark("Above"), "", lambda _, row: row, lambda value: str(value))
    table = RowsTable("table", (column, column))
    qtbot.addWidget(table)
    table.spreads = False
    table.set_rows(("1",) * (count - 1) + (LONG,))
    assert table.columnWidth(0) > table.fontMetrics().horizontalAdvance(LONG)
