"""The bands of an athlete over time, and a new one found by one of the methods."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from PySide6.QtCore import QSize
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QSizePolicy,
    QStackedWidget,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.plots.theme import theme
from slopebeat.review.bands import whole_basis
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.first_band import reach_back
from slopebeat.review.price.gap import with_hard_threshold
from slopebeat.review.words.names import key_name
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.library.band_methods import (
    AgePage,
    DriftPage,
    EdgesPage,
    Found,
    MaximumPage,
    MethodPage,
    ReservePage,
)
from slopebeat.window.library.entry_dialog import EntryDialog, Keep
from slopebeat.window.library.lactate_entry import LactatePage
from slopebeat.window.widgets.band_entry import UNSET, bpm_box
from slopebeat.window.widgets.day_box import DayBox
from slopebeat.window.widgets.parts import button, close_only, label, row
from slopebeat.window.widgets.screen import room_px

LACTATE = mark("Lactate step test")
LACTATE_PX = 320
"""Height of the table of stages with its curve [project choice]."""

SIZE_PX = (720, 670)
"""One size for all methods, so that nothing jumps; fits a screen of 720 lines [project choice]."""


class BandFinder(EntryDialog):
    """Shows the band the entries give, with its doubts, before it is kept with ``keep``."""

    def __init__(
        self, parent: QWidget | None, athlete: Athlete, keep: Keep[BandPeriod], day: date | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("New band for {name}").format(name=athlete.name))
        self._athlete, self._keep = athlete, keep
        today = day or date.today()
        age = None if athlete.birth_year is None else today.year - athlete.birth_year
        self.ground = QComboBox()
        self.ground.setAccessibleName(tr("Ground"))
        for ground in Ground:
            self.ground.addItem(key_name(ground), ground)
        self.day = DayBox(tr("In force from"), today)
        self.day.setToolTip(tr("Outings from this day on are reviewed with it, until the next band begins."))
        self.method = QComboBox()
        self.method.setAccessibleName(tr("How the band is found"))
        self.hard = bpm_box(
            tr("Hard threshold"),
            tr("Heart rate at the hard threshold where it is known: it tells the aerobic gap."),
        )
        self.hard.setSpecialValueText(tr("not known"))
        self.hard.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.hard.valueChanged.connect(self._show)
        self.pages = QStackedWidget()
        self._add_pages(age)
        self.outcome = label("", "answer")
        self.doubts = label("", "", wrap=True)
        self.advice = label("", "caption", wrap=True)
        self.method.currentIndexChanged.connect(self._choose)
        self.day.changed.connect(self._show)
        self._lay_out()
        self._choose(0)

    def _add_pages(self, age: int | None) -> None:
        """A page of entries for each method."""
        for words, page in (
            (tr("Share of measured maximum"), MaximumPage()),
            (tr("By age only"), AgePage(age)),
            (tr("Heart-rate reserve"), ReservePage()),
            (tr(LACTATE), LactatePage()),
            (tr("Steady-hour check"), DriftPage()),
            (tr("Set by hand"), EdgesPage()),
        ):
            self.method.addItem(words)
            self.pages.addWidget(page)
            page.changed.connect(self._show)

    @classmethod
    def ask(cls, parent: QWidget, athlete: Athlete, keep: Keep[BandPeriod]) -> bool:
        """Whether a band was kept."""
        return cls(parent, athlete, keep).exec() == QDialog.DialogCode.Accepted

    def save(self) -> None:
        """Keep the band as found."""
        period = self.period()
        if period is not None:
            self.keep_entry(self._keep, period)

    @property
    def page(self) -> MethodPage:
        """The entries of the chosen method."""
        page = self.pages.currentWidget()
        assert isinstance(page, MethodPage)
        return page

    def period(self) -> BandPeriod | None:
        """What would be kept."""
        found = self._found()
        if found is None:
            return None
        day = self._day()
        if day is None:
            return None
        return BandPeriod(self._athlete.identity, Ground(self.ground.currentData()), day, found.band)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(8)
        form.addRow(label(tr("For outings")), self.ground)
        form.addRow(label(tr("In force from")), self.day)
        form.addRow(label(tr("Found by")), self.method)
        form.addRow(label(tr("Hard threshold")), self.hard)
        layout = self.content
        layout.setSpacing(10)
        layout.addLayout(form)
        layout.addWidget(self.pages)
        for widget in (self.outcome, self.doubts, self.advice):
            layout.addWidget(widget)
        layout.addStretch(1)
        layout.addWidget(label(f"{tr(CAUTIONS[0])} {tr(CAUTIONS[2])}", "caption", wrap=True))
        self.usual_px = QSize(*SIZE_PX) * max(theme.text_share, 1.0)

    def _choose(self, at: int) -> None:
        self.pages.setCurrentIndex(at)
        # A stack is as tall as its tallest page; only the current one should take room.
        lactate = isinstance(self.page, LactatePage)
        self.pages.setFixedHeight(LACTATE_PX if lactate else self.page.sizeHint().height())
        self.advice.setText(tr(self.page.advice))
        self._show()

    def _found(self) -> Found | None:
        try:
            return self._entered()
        except UserError:
            return None

    def _day(self) -> date | None:
        """The day that stands there; None while it is none, which is told."""
        try:
            return self.day.day()
        except UserError:
            return None

    def _entered(self) -> Found | None:
        """What the entries give; UserError with a sentence where they contradict each other."""
        found, hard = self.page.found(), self.hard.value()
        if found is None or hard == UNSET:
            return found
        return replace(found, band=with_hard_threshold(found.band, hard))

    def _show(self) -> None:
        found, problem = None, ""
        try:
            found = self._entered()
            self.day.day()
        except UserError as error:
            problem = str(error)
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))
        self.outcome.setText(tr("No band yet") if found is None else str(found.band))
        self.doubts.setText("" if found is None else found.doubts)
        self.doubts.setVisible(bool(self.doubts.text()))
        self.buttons.button(QDialogButtonBox.StandardButton.Save).setEnabled(
            found is not None and self._day() is not None
        )


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
        self.add = button(tr("Add a band…"), "primary")
        self.remove = button(tr("Remove"), "", tr("The band before it stays in force instead"))
        self.back = button(
            tr("From the first outing on"), "", tr("Count outings before the first band with it, too")
        )
        self.note = label(
            tr("A change reviews the outings it covers again, in the background."), "caption", wrap=True
        )
        self.whole = label("", "detail", tr("How the selected band was found"), wrap=True)
        self.problem = label("", "problem", wrap=True)
        buttons = close_only()
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 14)
        layout.setSpacing(12)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.whole)
        layout.addLayout(row(self.add, self.remove, self.back, self.note))
        layout.addWidget(self.problem)
        layout.addWidget(buttons)
        self.resize(QSize(860, 380).boundedTo(room_px(self)))
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        self.back.clicked.connect(self._reach_back)
        session.opened.athlete_changed.connect(self._show)
        self.table.itemSelectionChanged.connect(self._picked)
        self._show()
        for column, width in enumerate(WIDTHS_PX):
            self.table.setColumnWidth(column, width)

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
        chosen = self.table.selectionModel().selectedRows()
        self.remove.setEnabled(bool(chosen))
        periods = self._periods()
        first = [p for p in periods if chosen and p.ground is periods[chosen[0].row()].ground][:1]
        self.whole.setText(whole_basis(periods[chosen[0].row()].band) if chosen else "")
        self.back.setEnabled(bool(chosen) and first == [periods[chosen[0].row()]])

    def _add(self) -> None:
        athlete = self._session.opened.athlete
        assert athlete is not None
        BandFinder.ask(self, athlete, self._session.put_band)

    def _reach_back(self) -> None:
        first = self._periods()[self.table.selectionModel().selectedRows()[0].row()]
        refused = self.problem.setText
        self._session.change(first.athlete, lambda library: reach_back(library, first), None, refused)

    def _remove(self) -> None:
        chosen = self.table.selectionModel().selectedRows()
        if chosen:
            gone, refused = self._periods()[chosen[0].row()], self.problem.setText
            self._session.change(gone.athlete, lambda library: library.bands.remove(gone), None, refused)
