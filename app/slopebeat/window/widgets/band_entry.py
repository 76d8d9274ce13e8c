"""Entering a heart-rate band: by hand, from the maximal heart rate, or from the reserve."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSpinBox, QStackedWidget, QWidget

from slopebeat.model.bands import PLAUSIBLE_BPM, BandMethod
from slopebeat.model.language import mark, tr
from slopebeat.session.outing.aim import BandChoice, MaximumFrom
from slopebeat.window.widgets.boxes import (
    choice_box,
    enter,
    entered,
    entry_box,
    not_edited,
    optional_box,
    show_number,
)
from slopebeat.window.widgets.parts import grid_layout, label, stacked

METHODS = (
    (BandMethod.MANUAL, mark("Set by hand")),
    (BandMethod.HR_MAX, mark("From maximal heart rate")),
    (BandMethod.RESERVE, mark("From heart-rate reserve")),
    (BandMethod.LACTATE, mark("From a lactate step test")),
    (BandMethod.DRIFT_TEST, mark("Checked by a steady hour")),
)

ADVICE = {
    BandMethod.LACTATE: mark(
        "Heart rate at 1.0 and 1.9 mmol/L is common practice; the library's bands in force work it out from "
        "the stages. Only with medical clearance and by a trained person."
    ),
    BandMethod.DRIFT_TEST: mark(
        "An hour at steady output on level ground with the heart rate at the upper edge; the decoupling "
        "of this outing is judged as such a check."
    ),
}
"""Said under the edges, which are typed as found."""

LEAST_LETTERS = 12
"""Of a way to find a band that are seen at the least; the list that opens shows them all [project choice]."""


def bpm_box(name: str, tip: str) -> QSpinBox:
    """A heart rate to enter; empty until the user does."""
    return entry_box(optional_box(name, PLAUSIBLE_BPM, " bpm"), name, tip)


def edge_boxes() -> tuple[QSpinBox, QSpinBox]:
    """The edges of a band, the lower one first."""
    return (
        bpm_box(tr("Lower edge of the band"), tr("Lower edge; it counts as in band.")),
        bpm_box(tr("Upper edge of the band"), tr("Upper edge; it counts as in band.")),
    )


def percent_box(name: str) -> QSpinBox:
    box = QSpinBox()
    box.setRange(1, 100)
    box.setSuffix(" %")
    return entry_box(box, name)


class BandEntry(QWidget):
    """Shows a :class:`BandChoice` and emits a new one at every change by the user."""

    edited = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._choice = BandChoice()
        ways = [(tr(words), None) for _, words in METHODS]
        self.method = choice_box(tr("How the band is found"), "", ways, LEAST_LETTERS)
        self.lower_edge, self.upper_edge = edge_boxes()
        self.hr_max = bpm_box(
            tr("Maximal heart rate"), tr("As measured. A maximal test needs medical clearance.")
        )
        self.reserve_max = bpm_box(tr("Maximal heart rate for the reserve"), self.hr_max.toolTip())
        self.hr_rest = bpm_box(tr("Resting heart rate"), tr("Measured lying down, after waking."))
        self.max_shares = (
            percent_box(tr("Lower share of maximum")),
            percent_box(tr("Upper share of maximum")),
        )
        self.reserve_shares = (
            percent_box(tr("Lower share of reserve")),
            percent_box(tr("Upper share of reserve")),
        )
        self._pages = QStackedWidget()
        self._build_pages()
        self.advice = label("", "caption", wrap=True)
        stacked(self.method, self._pages, self.advice, of=self, spacing=6)
        self.show_choice(self._choice)
        self.method.activated.connect(self._edited)
        for box in self.boxes():
            box.valueChanged.connect(self._edited)

    def _build_pages(self) -> None:
        pages: tuple[tuple[tuple[str, tuple[QSpinBox, ...]], ...], ...] = (
            ((tr("From"), (self.lower_edge, self.upper_edge)),),
            ((tr("Maximum"), (self.hr_max,)), (tr("Share"), self.max_shares)),
            (
                (tr("Maximum"), (self.reserve_max,)),
                (tr("At rest"), (self.hr_rest,)),
                (tr("Share"), self.reserve_shares),
            ),
        )
        for entries in pages:
            page = QWidget()
            grid = grid_layout(6, 6, page, shares=(0, 1, 0, 1))
            for at, (words, boxes) in enumerate(entries):
                grid.addWidget(label(words, "", boxes[0].toolTip()), at, 0)
                grid.addWidget(boxes[0], at, 1)
                if len(boxes) > 1:
                    grid.addWidget(label(tr("to")), at, 2)
                    grid.addWidget(boxes[1], at, 3)
            self._pages.addWidget(page)

    def boxes(self) -> tuple[QSpinBox, ...]:
        return (
            self.lower_edge,
            self.upper_edge,
            self.hr_max,
            self.reserve_max,
            self.hr_rest,
            *self.max_shares,
            *self.reserve_shares,
        )

    def show_choice(self, choice: BandChoice) -> None:
        """Show these entries without calling them an edit."""
        self._choice = choice
        boxes = self.boxes()
        edges = (choice.lower_bpm, choice.upper_bpm)
        rates = (*edges, choice.hr_max_bpm, choice.hr_max_bpm, choice.hr_rest_bpm)
        with not_edited(*boxes):
            for box, value in zip(boxes[:5], rates, strict=True):
                enter(box, value)
            for box, share in zip(boxes[5:], (*choice.max_shares, *choice.reserve_shares), strict=True):
                show_number(box, round(share * 100))
        at = [method for method, _ in METHODS].index(choice.method)
        self.method.setCurrentIndex(at)
        self._show_page(at)

    def _show_page(self, at: int) -> None:
        method = METHODS[at][0]
        self.advice.setText(tr(ADVICE.get(method, "")))
        self.advice.setVisible(method in ADVICE)
        # What a test found is typed as edges are.
        self._pages.setCurrentIndex(0 if method in ADVICE else at)
        # A stack is as tall as its tallest page; only the current one should take room.
        page = self._pages.currentWidget()
        assert page is not None
        self._pages.setFixedHeight(page.sizeHint().height())

    def _edited(self) -> None:
        method = METHODS[self.method.currentIndex()][0]
        hr_max = entered(self.reserve_max if method is BandMethod.RESERVE else self.hr_max)
        same = hr_max == self._choice.hr_max_bpm
        self.edited.emit(
            replace(
                self._choice,
                method=method,
                lower_bpm=entered(self.lower_edge),
                upper_bpm=entered(self.upper_edge),
                hr_max_bpm=hr_max,
                maximum_from=self._choice.maximum_from if same else MaximumFrom.TYPED,
                hr_rest_bpm=entered(self.hr_rest),
                max_shares=shares_in(self.max_shares),
                reserve_shares=shares_in(self.reserve_shares),
            )
        )


def shares_in(boxes: tuple[QSpinBox, QSpinBox]) -> tuple[float, float]:
    """The shares typed in percent."""
    return boxes[0].value() / 100, boxes[1].value() / 100
