"""Two outings side by side: answers, time accounts, decoupling and heart rate on common scales."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.recording import title_of
from slopebeat.plots.outing.heart_chart import HeartChart, common_scales
from slopebeat.review.answer import answer, why
from slopebeat.review.ground.repeated import NOTHING_SHARED, SharedGround
from slopebeat.review.outing import Review
from slopebeat.review.present.decoupling import DecouplingRow, rows_of
from slopebeat.review.present.figure import On
from slopebeat.review.present.head import head_line
from slopebeat.review.present.shared_ground import SHARED_FIGURES, shared_sentence
from slopebeat.review.words.difference import Side, difference_sentences
from slopebeat.session.session import Session
from slopebeat.session.steps import Steps
from slopebeat.window.widgets.account_picture import AccountPicture
from slopebeat.window.widgets.parts import button, grid_layout, holder, label, row, stacked
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.table import RowsTable

COMPARABLE = mark(
    "Only the terrain-fair row may be compared from one terrain to another, and only with its interval; a "
    "difference under about 4 points is within day-to-day noise."
)


class ComparedOuting(QFrame):
    """One of the two outings."""

    def __init__(self, name: str, chart: str, steps: Steps, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.setAccessibleName(name)
        self._chart_name, self._steps = chart, steps
        self._review: Review | None = None
        self._scales = (1.0, (60.0, 180.0))
        self.name, self.facts = label("", "heading"), label("", "caption", wrap=True)
        self.band = label("", "caption")
        self.answer, self.why = label("", "detail", wrap=True), label("", "muted", wrap=True)
        self.picture = AccountPicture()
        self._rows = QWidget()
        words = (self.name, self.facts, self.band, self.answer, self.why)
        self._layout = stacked(*words, self.picture, self._rows, of=self, margins=(14, 10, 14, 10), spacing=6)

    @cached_property
    def heart(self) -> HeartChart:
        """Made when it is first drawn: the window opens sooner without it."""
        made = HeartChart(self._chart_name)
        self._layout.addWidget(made, 1)
        return made

    def show_review(self, review: Review, span_s: float, hr_bpm: tuple[float, float]) -> None:
        """Show a review, its chart on the scales of both."""
        self._review = review
        self._scales = span_s, hr_bpm
        self.show_again()

    def show_again(self) -> None:
        """In the units in force."""
        if self._review is not None:
            self._steps.later(self._show_words, self._make_chart, self._show_chart)

    def _make_chart(self) -> None:
        self.heart.show()

    def _show_chart(self) -> None:
        if self._review is not None:
            self.heart.show_review(self._review, *self._scales)

    def _show_words(self) -> None:
        review = self._review
        if review is None:
            return
        self.name.setText(title_of(review.recording))
        self.facts.setText(head_line(review, On.WINDOW))
        band = review.aim.band
        self.band.setText(
            tr("No band was in force.") if band is None else tr("Band {band}").format(band=band)
        )
        self.answer.setText(answer(review))
        self.why.setText(why(review))
        fresh = decoupling_grid(rows_of(review))
        self._layout.replaceWidget(self._rows, fresh)
        self._rows.deleteLater()
        self._rows = fresh
        self.picture.setVisible(review.account is not None)
        if review.account is not None:
            self.picture.show_account(review.account)


def decoupling_grid(rows: Sequence[DecouplingRow]) -> QWidget:
    """The decoupling rows, each with its interval and how far to trust it."""
    page = QWidget()
    grid = grid_layout(12, 2, page, (0, 2, 0, 2), (0, 0, 0, 1))
    grid.addWidget(label(tr("Decoupling"), "caption"), 0, 0)
    for at, each in enumerate(rows, start=1):
        grid.addWidget(label(each.name, "heading", each.tip), at, 0)
        grid.addWidget(label(each.figure, "figure" if each.answers else "caption"), at, 1)
        interval = each.interval and f"({each.interval})"
        grid.addWidget(label(interval, "caption", tr("95 % interval of the fit.")), at, 2)
        grid.addWidget(label(each.verdict, "muted", each.trust, wrap=True), at, 3)
    return page


class ComparePage(QWidget):
    """Both outings, the earlier on the left."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.columns = (
            ComparedOuting(tr("Earlier outing"), tr("Heart rate of the earlier outing"), session.steps),
            ComparedOuting(tr("Later outing"), tr("Heart rate of the later outing"), session.steps),
        )
        for each in self.columns:
            session.display.changed.connect(each.show_again)
        self.back = button(tr("Back to the library"), "", tr("Show the list of outings again"))
        # Side by side they need a width of their own: this area scrolls sideways, too.
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setAccessibleName(tr("Two outings side by side"))
        scroll.setWidget(holder(row(*((each, 1) for each in self.columns), spacing=10)))
        self.places = RowsTable(tr("Places both outings went over"), columns_of(SHARED_FIGURES))
        self.places.sortByColumn(0, Qt.SortOrder.AscendingOrder)
        self.shared = label("", "caption", wrap=True)
        self.difference = label("", "", tr("Of the later outing against the earlier"), wrap=True)
        title = label(tr("Two outings side by side"), "heading")
        head = row(self.back, title, (label(tr(COMPARABLE), "caption", wrap=True), 1))
        parts = (head, self.difference, (scroll, 3), self.shared, (self.places, 2))
        stacked(*parts, of=self, margins=(12, 10, 12, 12))

    def show_pair(self, first: Review, second: Review, shared: SharedGround = NOTHING_SHARED) -> None:
        """Show two reviews, and where they share most of their ground what each did at its places."""
        self.difference.setText(" ".join(difference_sentences(*map(_side, (first, second)))))
        self.shared.setText(shared_sentence(shared))
        self.places.set_rows(shared.places)
        for view in (self.shared, self.places):
            view.setVisible(shared.is_most)
        span_s, hr_bpm = common_scales((first, second))
        for column, review in zip(self.columns, (first, second), strict=True):
            column.show_review(review, span_s, hr_bpm)


def _side(review: Review) -> Side:
    return Side(review.account, review.aim.band, review.terrain_fair)
