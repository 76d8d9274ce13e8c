"""The library on screen: the athlete, the filters, the list of outings and the months."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QMenu, QTabWidget, QVBoxLayout, QWidget

from slopebeat.model.people import Ground
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.session.session import Session
from slopebeat.window.library_filters import FilterBar
from slopebeat.window.library_list import OutingsTable
from slopebeat.window.library_notices import ImportView
from slopebeat.window.months_page import MonthsPage
from slopebeat.window.parts import button, label


class LibraryPage(QWidget):
    """Reads the library's session; what needs a dialog is asked for by signals."""

    add_wanted = Signal()
    edit_wanted = Signal()
    bands_wanted = Signal()
    files_wanted = Signal()
    folder_wanted = Signal()
    compare_wanted = Signal()
    outing_wanted = Signal()

    def __init__(self, session: Session, colours: Colours = LIGHT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self._session = session
        self._library = session.library
        self.athlete = QComboBox()
        self.athlete.setAccessibleName("Athlete")
        self.athlete.setToolTip("Whose outings are shown")
        self.athlete.setMinimumWidth(170)
        self.prescription = label("", "caption")
        self.place = label("", "caption")
        self.add = button("Add an athlete…")
        self.edit = button("Edit…", "", "Name, prescription and masses")
        self.bands = button("Bands…", "", "Heart-rate bands in force over time")
        self.bring = button(
            "Import…", "primary", "Files, a folder or an archive; folders can be dropped, too"
        )
        self.compare = button("Compare", "", "Show two selected outings side by side")
        self.to_outing = button("Back to the outing", "", "Show the outing that is open")
        self.filters = FilterBar(self._library)
        self.list = OutingsTable(self._library.outings)
        self.months = MonthsPage(self._library, colours)
        self.report = ImportView(self._library.work)
        self.count = label("", "caption")
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName("Outings and months")
        self._lay_out()
        self._connect()
        self._show_people()
        self._show_picked()

    def apply(self, colours: Colours) -> None:
        self.months.apply(colours)

    def _lay_out(self) -> None:
        menu = QMenu(self.bring)
        menu.addAction("Files or archives…", self.files_wanted.emit)
        menu.addAction("A folder…", self.folder_wanted.emit)
        self.bring.setMenu(menu)
        top = QHBoxLayout()
        top.setSpacing(8)
        for widget in (self.athlete, self.edit, self.add, self.bands, self.prescription):
            top.addWidget(widget)
        top.addStretch(1)
        top.addWidget(self.to_outing)
        top.addWidget(self.bring)
        below = QHBoxLayout()
        below.setSpacing(10)
        below.addWidget(self.filters, 1)
        below.addWidget(self.count)
        below.addWidget(self.compare)
        self.tabs.addTab(self.list, "Outings")
        self.tabs.addTab(self.months, "Months")
        self.tabs.addTab(self.report, "Last import")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addLayout(below)
        layout.addWidget(self.tabs, 1)
        layout.addWidget(self.place)

    def _connect(self) -> None:
        for signal, wanted in (
            (self.add.clicked, self.add_wanted),
            (self.edit.clicked, self.edit_wanted),
            (self.bands.clicked, self.bands_wanted),
            (self.compare.clicked, self.compare_wanted),
            (self.to_outing.clicked, self.outing_wanted),
        ):
            signal.connect(wanted)
        self.athlete.activated.connect(self._choose)
        self.list.picked_changed.connect(self._show_picked)
        self.list.open_wanted.connect(self._library.open_outing)
        self.months.open_wanted.connect(self._library.open_outing)
        self._library.opened.athlete_changed.connect(self._show_people)
        self._library.outings.changed.connect(self._show_count)
        self._session.outing.reviewed.connect(self._show_picked)

    def _choose(self, at: int) -> None:
        self._library.opened.choose_athlete(self.athlete.itemData(at))

    def _show_people(self) -> None:
        opened = self._library.opened
        self.athlete.clear()
        for athlete in opened.athletes:
            self.athlete.addItem(athlete.name, athlete.identity)
        if opened.athlete is not None:
            self.athlete.setCurrentIndex(self.athlete.findData(opened.athlete.identity))
        known = opened.athlete is not None
        self.athlete.setVisible(known)
        for widget in (self.edit, self.bands, self.bring):
            widget.setEnabled(known)
        self.prescription.setText(self._prescribed())
        library = opened.library
        words = "" if library is None else f"Kept in {library.path}"
        self.place.setText("Demo library of invented people" if opened.is_demo else words)

    def _prescribed(self) -> str:
        opened = self._library.opened
        athlete = opened.athlete
        if athlete is None:
            return "Add an athlete to begin; then import recordings or drop a folder here."
        parts = []
        if athlete.minutes_per_week is not None:
            parts.append(f"{athlete.minutes_per_week:.0f} min in band")
        if athlete.sessions_per_week is not None:
            parts.append(f"{athlete.sessions_per_week} sessions")
        words = f"Prescribed {' in '.join(parts)} a week" if parts else "No prescription yet"
        bands = []
        for ground in Ground:
            latest = [p for p in opened.periods if p.ground is ground]
            if latest:
                bands.append(f"{ground} {max(latest, key=lambda p: p.from_day).band}")
        return f"{words}  ·  {', '.join(bands) or 'no band yet: minutes in band need one'}"

    def _show_count(self) -> None:
        here, rows = self._library.outings.shown.rows, self._library.opened.rows
        unreviewed = sum(row.summary is None for row in rows)
        words = f"{len(here)} of {len(rows)} outings"
        self.count.setText(words + (f", {unreviewed} not reviewed yet" if unreviewed else ""))

    def _show_picked(self) -> None:
        self.compare.setEnabled(len(self.list.picked) == 2)
        self.to_outing.setVisible(self._session.outing.review is not None)
