"""What speed to hold on each grade next time: in a sentence, as a chart, as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from slopebeat.analysis.response.ceiling import SURELY, Ceiling
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import MASS, SPEED, VERTICAL_SPEED, number
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import MISSING, duration
from slopebeat.plots.outing.ceiling_chart import CeilingChart
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.review.wording import too_steep
from slopebeat.review.words.messages import say
from slopebeat.session.session import Session
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import label
from slopebeat.window.widgets.table import Column, RowsTable

TABLE_PX = 430
"""Width of the table beside the chart [project choice]."""


@dataclass(frozen=True)
class HoldRow:
    """One grade of the ceiling."""

    grade: float
    speed_mps: float
    low_mps: float
    high_mps: float
    vertical_mps: float
    seen_s: float
    fits_any_speed: bool
    exceeds_at_once: bool
    too_steep: float = 0.0

    @property
    def known(self) -> bool:
        return bool(np.isfinite(self.speed_mps))

    @property
    def speed(self) -> str:
        if self.known:
            return SPEED.figure(self.speed_mps)
        if self.fits_any_speed:
            return tr("any seen")
        if not self.exceeds_at_once:
            return MISSING
        if self.grade <= 0.0:
            return tr("none")
        return tr("too steep") if self.too_steep > SURELY else tr("may be too steep")

    @property
    def interval(self) -> str:
        """Both ends in the unit in force; an open end is left open."""
        if not self.known:
            return MISSING
        low = SPEED.figure(self.low_mps) if np.isfinite(self.low_mps) else ""
        high = SPEED.figure(self.high_mps) if np.isfinite(self.high_mps) else ""
        if low and high:
            return tr("{low} to {high}").format(low=low, high=high)
        if low:
            return tr("from {low}").format(low=low)
        return tr("up to {high}").format(high=high) if high else tr("open")


def hold_rows(found: Ceiling) -> list[HoldRow]:
    """The grades that were seen long enough to say something of."""
    rows = [
        HoldRow(
            float(found.grade[i]),
            float(found.speed_mps[i]),
            float(found.low_mps[i]),
            float(found.high_mps[i]),
            float(found.vertical_speed_mps[i]),
            float(found.seen_s[i]),
            bool(found.fits_any_speed[i]),
            bool(found.exceeds_at_once[i]),
            float(found.too_steep[i]),
        )
        for i in range(found.grade.size)
    ]
    return [row for row in rows if row.known or row.fits_any_speed or row.exceeds_at_once]


def hold_sentence(review: Review) -> str:
    """The one figure to remember, on the grade climbed longest; else why there is none."""
    if review.aim.band is None:
        return tr("Choose a band to see what speed to hold.")
    if review.ceiling is None:
        response = review.response
        if response.status is FitStatus.USABLE:
            return tr("No speed to hold can be given: no grade is known.")
        why = say(response.reason)
        return tr("No speed to hold can be given: {why}").format(why=why)
    rows = hold_rows(review.ceiling)
    steep = too_steep(review.ceiling.gentlest_too_steep, review.track.on_bike)
    climbed = any(row.known and row.grade > CLIMBING_GRADE for row in rows)
    # With a speed to hold on a climb the table says which grades are too steep; the sentence stays short.
    return steep if steep and not climbed else _held(rows)


def _held(rows: Sequence[HoldRow]) -> str:
    """What to hold on the grade climbed longest, else gone longest."""
    known = [row for row in rows if row.known]
    climbing = [row for row in known if row.grade > CLIMBING_GRADE]
    if not known:
        if rows and all(row.fits_any_speed for row in rows):
            return tr("No speed seen on any grade of this outing would settle over the band.")
        return tr("No speed to hold can be given on the grades of this outing.")
    row = max(climbing or known, key=lambda row: row.seen_s)
    speed, grade = f"{row.speed} {SPEED.unit}", f"{number(row.grade, 0, 100)} %"
    if row.grade > 0:
        vertical = VERTICAL_SPEED.text(row.vertical_mps)
        said = tr("Hold under {speed} ({vertical}) on {grade}.")
        return said.format(speed=speed, vertical=vertical, grade=grade)
    return tr("Hold under {speed} on {grade}.").format(speed=speed, grade=grade)


def basis(review: Review) -> str:
    """What the speeds hold for."""
    found = review.ceiling
    if found is None:
        return ""
    time = duration(found.at_s)
    if review.load_kg > 0:
        return tr(
            "Steady speed at which the heart rate settles at the upper edge, {time} into an outing like "
            "this, carrying {load}; drift lowers it later. Only grades that were seen for a minute or more."
        ).format(time=time, load=MASS.text(review.load_kg, 0 if review.load_kg % 1 == 0 else None))
    return tr(
        "Steady speed at which the heart rate settles at the upper edge, {time} into an outing like this; "
        "drift lowers it later. Only grades that were seen for a minute or more."
    ).format(time=time)


HOLD_COLUMNS: Sequence[Column] = (
    Column(
        mark("Grade"),
        hint("hold.grade"),
        lambda i, r: r.grade,
        lambda v: number(v, 0, 100),
        unit="%",
    ),
    Column(
        mark("Hold under"),
        hint("hold.speed"),
        lambda i, r: r.speed,
        str,
        unit=SPEED,
    ),
    Column(
        mark("Vertical"),
        hint("hold.vertical"),
        lambda i, r: r.vertical_mps if r.known else None,
        VERTICAL_SPEED.figure,
        unit=VERTICAL_SPEED,
    ),
    Column(mark("95 % interval"), hint("hold.interval"), lambda i, r: r.interval, str, unit=SPEED),
    Column(
        mark("Seen"),
        hint("hold.seen"),
        lambda i, r: r.seen_s,
        lambda v: number(v / 60),
        unit="min",
    ),
)


class CeilingPanel(QWidget):
    """Sentence and chart left, table right; only the reason where there is nothing to hold."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._left = QVBoxLayout()
        self.sentence = label("", "figure", wrap=True)
        self.sentence.setAccessibleName(tr("Speed to hold"))
        self.basis = label("", "caption", wrap=True)
        self.table = RowsTable(tr("Speed to hold by grade"), HOLD_COLUMNS)
        # Climbs first: they are where a speed has to be held.
        self.table.sortByColumn(0, Qt.SortOrder.DescendingOrder)
        self.nothing = label("", "", wrap=True)
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.nothing.setContentsMargins(14, 12, 14, 8)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.nothing)
        self.pages.addWidget(self._found())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.pages)
        self._fresh = FreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.display.changed
        )

    @cached_property
    def chart(self) -> CeilingChart:
        """Made when it is first drawn: the window opens sooner without it."""
        made = CeilingChart()
        made.setMinimumHeight(60)
        self._left.addWidget(made, 1)
        return made

    def _found(self) -> QWidget:
        page = QWidget()
        both = QHBoxLayout(page)
        both.setContentsMargins(0, 0, 0, 0)
        both.setSpacing(0)
        left = self._left
        left.setContentsMargins(14, 8, 8, 4)
        left.setSpacing(3)
        left.addWidget(self.sentence)
        left.addWidget(self.basis)
        both.addLayout(left, 1)
        self.table.setFixedWidth(TABLE_PX)
        both.addWidget(self.table)
        return page

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        rows = [] if review.ceiling is None else hold_rows(review.ceiling)
        if not rows:
            self.nothing.setText(hold_sentence(review))
            self.pages.setCurrentIndex(0)
            return
        self.sentence.setText(hold_sentence(review))
        self.basis.setText(basis(review))
        self.chart.show_review(review)
        self.table.set_rows(rows)
        self.pages.setCurrentIndex(1)
