"""The table of what ground costs, as high as its rows."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from slopebeat.model.language import tr
from slopebeat.review.present.figure import On, shown_on
from slopebeat.review.present.price import AIMED, AS_USUAL, PRICE_FIGURES
from slopebeat.review.price.grounds import Price
from slopebeat.window.widgets.table import row_height

COLUMNS = shown_on(On.WINDOW, PRICE_FIGURES)
LENGTHS = (AS_USUAL.key, AIMED.key)


class PriceTable(QTableWidget):
    """A row for each kind of ground, as high as its rows."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self.setAccessibleName(tr("What ground costs"))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for at, figure in enumerate(COLUMNS):
            # Lengths with their intervals take what is left, in two lines where it is little.
            long = figure.key in LENGTHS
            mode = QHeaderView.ResizeMode.Stretch if long else QHeaderView.ResizeMode.ResizeToContents
            header.setSectionResizeMode(at, mode)
            item = QTableWidgetItem(figure.header)
            item.setToolTip(tr(figure.line))
            item.setTextAlignment(_side(figure.kind.words))
            self.setHorizontalHeaderItem(at, item)

    def show_price(self, price: Price) -> None:
        self.setRowCount(len(price.rows))
        for line, priced in enumerate(price.rows):
            for at, figure in enumerate(COLUMNS):
                item = QTableWidgetItem(figure.text_of(line, priced))
                item.setTextAlignment(_side(figure.kind.words))
                self.setItem(line, at, item)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fit()

    def _fit(self) -> None:
        """Rows as high as their words need, and the table as high as its rows."""
        self.resizeRowsToContents()
        for line in range(self.rowCount()):
            self.setRowHeight(line, max(self.rowHeight(line), row_height(self)))
        rows = sum(self.rowHeight(line) for line in range(self.rowCount()))
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + rows + 2)


def _side(words: bool) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignLeft if words else Qt.AlignmentFlag.AlignRight
    return side | Qt.AlignmentFlag.AlignVCenter
