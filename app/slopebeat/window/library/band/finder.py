"""A band found by one of the methods, or one that is there opened again and mended."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from PySide6.QtCore import QSize
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QSizePolicy,
    QSpinBox,
    QStackedWidget,
    QWidget,
)

from slopebeat.model.basis import HARD_THRESHOLD_BPM
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.plots.theme import theme
from slopebeat.review.bands import whole_basis
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.price.gap import with_hard_threshold, without_hard_threshold
from slopebeat.review.words.names import key_name
from slopebeat.window.library.band.lactate import LactatePage
from slopebeat.window.library.band.methods import (
    AgePage,
    DriftPage,
    EdgesPage,
    FoundBand,
    MaximumPage,
    MethodPage,
    ReservePage,
)
from slopebeat.window.widgets.band_entry import bpm_box
from slopebeat.window.widgets.boxes import choice_box, enter, entered
from slopebeat.window.widgets.day_box import DayBox
from slopebeat.window.widgets.dialogs import EntryDialog, Keep
from slopebeat.window.widgets.parts import label

LACTATE = mark("Lactate step test")
LACTATE_PX = 320
"""Height of the table of stages with its curve [project choice]."""

SIZE_PX = (720, 670)
"""One size for all methods, so that nothing jumps; fits a screen of 720 lines [project choice]."""


@dataclass(frozen=True)
class _Opened:
    """A band that was opened: the page that shows how it was found, and what its entries give untouched."""

    period: BandPeriod
    page: MethodPage
    found: FoundBand | None


class BandFinder(EntryDialog):
    """Shows the band the entries give, with its doubts, before it is kept with ``keep``.

    ``edited`` is a band to open again. As long as none of its entries is touched, how it was found stays as
    it is kept, whole; day, ground and hard threshold can be mended without that.
    """

    def __init__(
        self,
        parent: QWidget | None,
        athlete: Athlete,
        keep: Keep[BandPeriod],
        day: date | None = None,
        edited: BandPeriod | None = None,
    ) -> None:
        super().__init__(parent)
        title = tr("New band for {name}") if edited is None else tr("Change a band of {name}")
        self.setWindowTitle(title.format(name=athlete.name))
        self._athlete, self._keep = athlete, keep
        self._opened: _Opened | None = None
        today = day or date.today()
        age = None if athlete.birth_year is None else today.year - athlete.birth_year
        self.ground = choice_box(tr("Ground"), "", [(key_name(ground), ground) for ground in Ground])
        self.day = DayBox(tr("In force from"), today)
        self.day.setToolTip(tr("Outings from this day on are reviewed with it, until the next band begins."))
        self.method = choice_box(tr("How the band is found"))
        self.hard = _hard_box()
        self.hard.valueChanged.connect(self._show)
        self.pages = QStackedWidget()
        self._add_pages(age)
        self.outcome = label("", "answer")
        self.doubts = label("", "", wrap=True)
        self.advice = label("", "caption", wrap=True)
        self.method.currentIndexChanged.connect(self._choose)
        self.day.changed.connect(self._show)
        self.kept = label("", "caption", tr("How the band was found, as it is kept"), wrap=True)
        self._lay_out()
        self._choose(0)
        if edited is not None:
            self._open(edited)

    def _add_pages(self, age: int | None) -> None:
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
    def ask(
        cls, parent: QWidget, athlete: Athlete, keep: Keep[BandPeriod], edited: BandPeriod | None = None
    ) -> bool:
        """Whether a band was kept."""
        return cls(parent, athlete, keep, edited=edited).exec() == QDialog.DialogCode.Accepted

    def _open(self, period: BandPeriod) -> None:
        """Show a band that is there: where and when it holds, its hard threshold, how it was found."""
        pages = [self.pages.widget(at) for at in range(self.pages.count())]
        at, page = next(
            (number, each)
            for number, each in enumerate(pages)
            if isinstance(each, MethodPage) and each.fill(period.band)
        )
        self.ground.setCurrentIndex(self.ground.findData(period.ground))
        self.day.set_day(period.from_day)
        hard = period.band.basis.numbers(HARD_THRESHOLD_BPM)
        if hard is not None:
            enter(self.hard, hard[0])
        self.method.setCurrentIndex(at)
        self._opened = _Opened(period, page, _found_on(page))
        self.kept.setText(whole_basis(period.band))
        self._show()

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
        day = self.day.known()
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
        for widget in (self.outcome, self.kept, self.doubts, self.advice):
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

    def _found(self) -> FoundBand | None:
        try:
            return self._entered()
        except UserError:
            return None

    def _entered(self) -> FoundBand | None:
        """What the entries give; UserError with a sentence where they contradict each other."""
        found, hard_bpm = self.page.found(), entered(self.hard)
        opened = self._opened
        if opened is not None and self.page is opened.page and found is not None and found == opened.found:
            band = opened.period.band
            known = band.basis.numbers(HARD_THRESHOLD_BPM)
            found = replace(found, band=without_hard_threshold(band))
            # What came with a fraction keeps it while nobody types another.
            if known is not None and round(known[0]) == hard_bpm:
                return replace(found, band=with_hard_threshold(found.band, known[0]))
        if found is None or hard_bpm is None:
            return found
        return replace(found, band=with_hard_threshold(found.band, float(hard_bpm)))

    @property
    def untouched(self) -> bool:
        """Whether how an opened band was found is as it is kept."""
        opened, found = self._opened, self._found()
        return opened is not None and found is not None and found.band == opened.period.band

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
        self.kept.setVisible(self.untouched)
        self.doubts.setText("" if found is None else found.doubts)
        self.doubts.setVisible(bool(self.doubts.text()))
        self.buttons.button(QDialogButtonBox.StandardButton.Save).setEnabled(
            found is not None and self.day.known() is not None
        )


def _found_on(page: MethodPage) -> FoundBand | None:
    try:
        return page.found()
    except UserError:
        return None


def _hard_box() -> QSpinBox:
    text = tr("Heart rate at the hard threshold where it is known: it tells the aerobic gap.")
    box = bpm_box(tr("Hard threshold"), text)
    box.setSpecialValueText(tr("not known"))
    box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return box
