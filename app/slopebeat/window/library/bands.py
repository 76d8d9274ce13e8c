"""The bands of an athlete over time."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from slopebeat.model.language import mark, tr
from slopebeat.model.people import BandPeriod, Ground
from slopebeat.review.words.names import key_name
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.library.band_finder import BandFinder
from slopebeat.window.widgets.parts import button, close_only, label, row

HEADERS = (mark("For outings"), mark("In force"), mark("Band"), mark("How it was found"))
WIDTHS_PX = (90, 190, 110, 420)


def in_force(period: BandPeriod, periods: tuple[BandPeriod, ...]) -> str:
    """From which day to which; the next period of the same ground ends one."""
    later = [p.from_day for p in periods if p.ground is period.ground and p.from_day > period.from_day]
    if later:
        return tr("{first} to before {last}").format(first=period.from_day, last=min(later))
    return tr("from {first} on").format(first=period.from_day)


class BandsDialog(QDialog):
    """Adds and removes bands; the outings they cover are reviewed again in the background."""

    def __init__(self, parent: QWidget | None, session: LibrarySession) -> None:
        super().__init__(parent)
        self._session = session
        self.setWindowTitle(tr("Bands in force"))
        self.table = QTableWidget(0, len(HEADERS))
        self.table.setAccessibleName(tr("Bands in force over time"))
        self.table.setHorizontalHeaderLabels([tr(header) for header in HEADERS])
        self.table.verticalHeader().hide()
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        for column, width in enumerate(WIDTHS_PX):
            self.table.setColumnWidth(column, width)
        self.add = button(tr("Add a band…"), "primary")
        self.remove = button(tr("Remove"), "", tr("The band before it stays in force instead"))
        self.note = label(
            tr("A change reviews the outings it covers again, in the background."), "caption", wrap=True
        )
        self.problem = label("", "problem", wrap=True)
        buttons = close_only()
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 14)
        layout.setSpacing(12)
        layout.addWidget(self.table, 1)
        layout.addLayout(row(self.add, self.remove, self.note))
        layout.addWidget(self.problem)
        layout.addWidget(buttons)
        self.resize(860, 380)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        session.opened.athlete_changed.connect(self._show)
        self.table.itemSelectionChanged.connect(self._picked)
        self._show()

    @classmethod
    def ask(cls, parent: QWidget, session: LibrarySession) -> None:
        cls(parent, session).exec()

    def _periods(self) -> tuple[BandPeriod, ...]:
        grounds = list(Ground)
        return tuple(
            sorted(self._session.opened.periods, key=lambda p: (grounds.index(p.ground), p.from_day))
        )

    def _show(self) -> None:
        self.problem.clear()
        periods = self._periods()
        self.table.setRowCount(len(periods))
        for at, period in enumerate(periods):
            how = (str(period.band), period.band.how_words)
            words = (key_name(period.ground), in_force(period, periods), *how)
            for column, text in enumerate(words):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                self.table.setItem(at, column, item)
        self._picked()

    def _picked(self) -> None:
        self.remove.setEnabled(bool(self.table.selectionModel().selectedRows()))

    def _add(self) -> None:
        athlete = self._session.opened.athlete
        assert athlete is not None
        BandFinder.ask(self, athlete, self._session.put_band)

    def _remove(self) -> None:
        chosen = self.table.selectionModel().selectedRows()
        if chosen:
            gone, refused = self._periods()[chosen[0].row()], self.problem.setText
            self._session.change(gone.athlete, lambda library: library.bands.remove(gone), None, refused)
