"""Outings left out of the figures, by name and with the reason; one click takes in or leaves out."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QModelIndex
from PySide6.QtWidgets import QDialog, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.review.months.changes import LeftOut
from slopebeat.window.widgets.dialogs import close_only
from slopebeat.window.widgets.parts import stacked
from slopebeat.window.widgets.rows import words_column
from slopebeat.window.widgets.table import RowsTable

LetTeach = Callable[[int, bool], None]
"""Takes the place of an outing in the list, and whether it is to teach."""


def act_words(left: LeftOut) -> str:
    """What one click does with an outing; empty where nothing is to be decided."""
    if left.by_hand is None:
        return ""
    return tr("Take in") if left.by_hand else tr("Leave out")


class LeftOutDialog(QDialog):
    """Outings with why they are left out; a click on the last column, or Enter, decides."""

    def __init__(
        self, parent: QWidget | None, title: str, rows: Sequence[LeftOut], let_teach: LetTeach
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self._let_teach = let_teach
        self.table = RowsTable(tr("Outings left out"), COLUMNS)
        self.table.set_rows(rows)
        self.table.clicked.connect(self._clicked)
        self.table.activated.connect(lambda index: self._decide(index.row()))
        stacked((self.table, 1), close_only(self), of=self, margins=None)
        self.resize(720, 460)

    def _clicked(self, index: QModelIndex) -> None:
        if index.column() == len(COLUMNS) - 1:
            self._decide(index.row())

    def _decide(self, number: int) -> None:
        left: LeftOut = self.table.rows.row_at(number)
        if left.by_hand is not None:
            self._let_teach(left.index, left.by_hand)
            self.accept()


COLUMNS = (
    words_column(mark("Outing"), "", lambda left: left.title),
    words_column(mark("Reason"), "", lambda left: left.reason),
    words_column(mark("Decide"), mark("One click"), act_words),
)
