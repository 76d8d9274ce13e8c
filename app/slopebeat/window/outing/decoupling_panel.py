"""Decoupling, row by row with how far to trust it; and the outing judged as a test of the upper edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from slopebeat.analysis.band.drift_test import DriftTest, DriftTestOutcome
from slopebeat.model.language import mark, tr
from slopebeat.model.people import BandPeriod
from slopebeat.review.first_band import tested_band
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.review.present.decoupling import ROW_FIGURES, DecouplingRow, decoupling_sentence, rows_of
from slopebeat.review.present.figure import On, shown_on
from slopebeat.review.words.messages import say, say_all
from slopebeat.review.words.names import key_name
from slopebeat.session.session import Session
from slopebeat.window.widgets.boxes import DecimalBox, UndoKeys, not_edited
from slopebeat.window.widgets.parts import (
    REST,
    GrowingPage,
    button,
    explained_by,
    grid_layout,
    holder,
    label,
    row,
    stacked,
)
from slopebeat.window.widgets.refresh import show_review_when_seen
from slopebeat.window.widgets.wrapping_row import WrappingRow

WORDY = (4, 5)
"""The columns of sentences, which share what width there is."""

NO_BAND = mark("Choose a band to have the outing judged as a test of its upper edge.")
CONVENTION = mark(
    "5 % is common practice without a source; no study found validates it. The check is an hour at steady "
    "output on level ground with the heart rate at the upper edge."
)


def outcome_words(found: DriftTest | None) -> str:
    """The outcome, its figure and every reason."""
    if found is None:
        return tr(NO_BAND)
    if found.outcome is DriftTestOutcome.NOT_A_TEST:
        return "\n".join(
            [tr("This outing is no steady-hour check:"), *(f"•  {say(reason)}" for reason in found.reasons)]
        )
    return say_all(found.sentences)


class DriftTestBox(QFrame):
    """One sentence, or the reasons against reading the outing as a test."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._aim = session.aim
        explained_by("drift_test", self)
        self.threshold = DecimalBox()
        self.threshold.setRange(0.5, 20.0)
        self.threshold.setSingleStep(0.5)
        self.threshold.setDecimals(1)
        self.threshold.setSuffix(" %")
        self.threshold.setKeyboardTracking(False)
        self.threshold.setMinimumHeight(26)
        self.threshold.setAccessibleName(tr("Limit of the decoupling"))
        self.threshold.setToolTip(tr(CONVENTION))
        self.words = label("", wrap=True)
        self.words.setAccessibleName(tr("Steady-hour check"))
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.keep = button("")
        self.keep.setAccessibleName(tr("Keep this band"))
        self.keep.hide()
        limit = WrappingRow(
            label(tr("Steady-hour check of the upper edge"), "heading"),
            label(tr("decoupling called little: under"), "caption", tr(CONVENTION)),
            self.threshold,
            label(tr("common practice, no source"), "caption", tr(CONVENTION)),
        )
        stacked(limit, self.words, row(self.keep), of=self, margins=(14, 2, 14, 8), spacing=3)
        self._undo_keys = UndoKeys(self)
        self._undo_keys.watch(self.threshold)
        self._show_threshold()
        self.threshold.valueChanged.connect(self._edit)
        self.keep.clicked.connect(self._keep)
        self._aim.entered_changed.connect(self._show_threshold)
        session.library.opened.athlete_changed.connect(self._offer)

    def show_test(self, found: DriftTest | None) -> None:
        self.words.setText(outcome_words(found))
        self._offer()

    def _tested(self) -> BandPeriod | None:
        review, opened = self._session.outing.review, self._session.library.opened
        return None if review is None else tested_band(opened.athlete, opened.periods, review)

    def _offer(self) -> None:
        """A band that passed can be kept, for the athlete who is named on the button."""
        period, athlete = self._tested(), self._session.library.opened.athlete
        self.keep.setVisible(period is not None)
        if period is not None and athlete is not None:
            words = tr("Keep {band} for {athlete} {ground} from {day} on").format(
                band=period.band, athlete=athlete.name, ground=key_name(period.ground), day=period.from_day
            )
            self.keep.setText(words)
            self.keep.setAccessibleName(words)
            self.keep.setToolTip(tr(CONVENTION))

    def _keep(self) -> None:
        period = self._tested()
        if period is not None:
            self._session.library.entries.put_band(period)

    def _show_threshold(self) -> None:
        with not_edited(self.threshold):
            self.threshold.setValue(self._aim.entered.rest.drift_threshold_percent)

    def _edit(self, percent: float) -> None:
        entered = self._aim.entered
        self._session.edit_aim(replace(entered, rest=replace(entered.rest, drift_threshold_percent=percent)))


class DecouplingPanel(QScrollArea):
    """A grid of words and figures, made anew for each review, above the drift test."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.setWidgetResizable(True)
        self.setAccessibleName(tr("Decoupling"))
        self.drift_test = DriftTestBox(session)
        self.sentence = explained_by("terrain_fair", label("", "figure", wrap=True))
        self.sentence.setContentsMargins(14, 8, 14, 0)
        self._grid = QWidget()
        page = GrowingPage()
        self._column = stacked(self.sentence, self._grid, self.drift_test, REST, of=page, spacing=0)
        self.setWidget(page)
        self._refresh = show_review_when_seen(session, self, self._show, session.display.changed)

    def _show(self, review: Review) -> None:
        self.sentence.setText(decoupling_sentence(review))
        fresh = _grid(rows_of(review))
        self._column.replaceWidget(self._grid, fresh)
        self._grid.deleteLater()
        self._grid = fresh
        self.drift_test.show_test(review.drift_test)


def _grid(rows: Sequence[DecouplingRow]) -> QWidget:
    grid = grid_layout(14, 6)
    shown = shown_on(On.WINDOW, ROW_FIGURES)
    for column, each in enumerate(shown):
        grid.addWidget(label(each.header, "caption", tr(each.line), wrap=column in WORDY), 0, column)
    for column in WORDY:
        grid.setColumnStretch(column, 3)
    for at, decoupling in enumerate(rows, start=1):
        # What is no answer does not stand in the size of one.
        look = "" if decoupling.answers else "caption"
        cells = (
            label(decoupling.name, "fine_figure" if decoupling.answers else "caption", decoupling.tip),
            _figure(decoupling),
            label(decoupling.first, look),
            label(decoupling.second, look),
            label(decoupling.used, "caption", wrap=True),
            label(decoupling.trust, wrap=True),
        )
        for column, (cell, each) in enumerate(zip(cells, shown, strict=True)):
            if column:
                explained_by(each.key, cell)
            grid.addWidget(cell, at, column, Qt.AlignmentFlag.AlignTop)
    return holder(stacked(grid, REST, margins=(14, 4, 14, 8)))


def _figure(row: DecouplingRow) -> QWidget:
    """The figure large if it is an answer, its interval small beneath."""
    look = "figure" if row.answers else "caption"
    cell = stacked(label(row.figure, look, tr(hint("halves.figure"))), spacing=0)
    if row.interval:
        cell.addWidget(label(row.interval, "caption", tr("95 % interval of the fit.")))
    return holder(cell)
