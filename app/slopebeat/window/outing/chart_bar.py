"""The controls above the charts: what they run along, what the lowest shows, and the zoom."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.review.words.messages import say
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import button, label

FITTED_TIP = mark("Heart rate as expected from work, slope and drift, with its lag (Ctrl+F)")
RESIDUAL_TIP = mark("Recorded heart rate less the fitted one: what work, slope and drift do not explain")


GROUP_GAP_PX, SIDE_ROOM_PX = 14, 12
"""Room between two groups of buttons, and beside them [project choice]."""


class ChartBar(QWidget):
    """Two switches, the fitted line and the zoom buttons."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._captions: list[QLabel] = []
        both = QVBoxLayout(self)
        both.setContentsMargins(SIDE_ROOM_PX, 8, SIDE_ROOM_PX, 0)
        both.setSpacing(4)
        self._first, self._second = QHBoxLayout(), QHBoxLayout()
        both.addLayout(self._first)
        both.addLayout(self._second)
        self._first.setSpacing(0)
        self._zoom = QWidget()
        self._add_switches()
        self._first.addWidget(self._zoom, 1)
        self._add_zoom()
        session.charts.changed.connect(self._show)
        session.outing.reviewed.connect(self._show)
        self._show()

    def _add_switches(self) -> None:
        choice, layout = self._session.charts, self._first
        self.along = self._switch(
            layout,
            tr("Along"),
            ((Along.TIME, tr("Time")), (Along.DISTANCE, tr("Distance"))),
            choice.set_along,
        )
        layout.addSpacing(GROUP_GAP_PX)
        self.rate = self._switch(
            layout,
            tr("Lowest chart"),
            (
                (Rate.SPEED, tr("Speed")),
                (Rate.VERTICAL, tr("Vertical speed")),
                (Rate.RESIDUAL, tr("Residual")),
            ),
            choice.set_rate,
        )
        layout.addSpacing(GROUP_GAP_PX)

    def _add_zoom(self) -> None:
        visible = self._session.visible
        layout = QHBoxLayout(self._zoom)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        self.fitted = button(tr("Fitted line"), "segment")
        self.fitted.setCheckable(True)
        self.fitted.setAccessibleName(tr("Fitted heart rate"))
        self.fitted.toggled.connect(self._session.charts.set_fitted)
        layout.addWidget(self.fitted)
        layout.addStretch(1)
        for text, name, keys, act in (
            ("−", tr("Zoom out"), "Ctrl+-", partial(visible.zoom, 1 / 0.7)),
            ("+", tr("Zoom in"), "Ctrl++", partial(visible.zoom, 0.7)),
            (tr("Whole outing"), tr("Show all of it"), "Ctrl+0", visible.reset),
        ):
            made = button(text, "", f"{name} ({keys})")
            made.setAccessibleName(name)
            made.clicked.connect(lambda _checked=False, act=act: act())
            layout.addWidget(made)
            layout.addSpacing(6)

    def fit_text(self) -> None:
        """Leave out captions where there is little room, and take two rows where there is less."""
        room = self.width() - 2 * SIDE_ROOM_PX
        captions = sum(words.sizeHint().width() for words in self._captions)
        choices, zoom = self._choices_px(), self._zoom.sizeHint().width()
        one_row = choices + zoom <= room
        holder = self._first if one_row else self._second
        if holder.indexOf(self._zoom) < 0:
            for other in (self._first, self._second):
                other.removeWidget(self._zoom)
            holder.addWidget(self._zoom, 1)
        shown = captions + choices + (zoom if one_row else 0) <= room
        for words in self._captions:
            words.setVisible(shown)
        # What is hidden while the bar is being resized would keep its room until the next time.
        both = self.layout()
        assert both is not None
        both.activate()

    def _choices_px(self) -> int:
        """Width of both switches without their captions."""
        buttons = (*self.along.values(), *self.rate.values())
        return sum(one.sizeHint().width() for one in buttons) + 2 * GROUP_GAP_PX

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_text()

    def minimumSizeHint(self) -> QSize:
        """Two rows without captions, or the bar could never become narrower than one row."""
        widest = max(self._choices_px(), self._zoom.sizeHint().width())
        return QSize(widest + 2 * SIDE_ROOM_PX, super().minimumSizeHint().height())

    def _switch(
        self,
        layout: QHBoxLayout,
        caption: str,
        options: tuple[tuple[Along | Rate, str], ...],
        act: Callable[..., None],
    ) -> dict[Along | Rate, QPushButton]:
        before = label(f"{caption}  ", "caption")
        self._captions.append(before)
        layout.addWidget(before)
        group = QButtonGroup(self)
        made = {}
        for value, words in options:
            one = button(words, "segment")
            one.setCheckable(True)
            one.setAccessibleName(f"{caption}: {words}")
            one.clicked.connect(partial(self._choose, act, value))
            group.addButton(one)
            layout.addWidget(one)
            made[value] = one
        return made

    def _choose(self, act: Callable[..., None], value: Along | Rate, _checked: bool = True) -> None:
        act(value)

    def _show(self) -> None:
        choice, review = self._session.charts, self._session.outing.review
        self.along[choice.along].setChecked(True)
        self.rate[choice.rate].setChecked(True)
        has_distance = review is None or bool(np.isfinite(review.track.distance_m).any())
        self.along[Along.DISTANCE].setEnabled(has_distance)
        self.along[Along.DISTANCE].setToolTip(
            "" if has_distance else tr("This recording holds neither distance nor position.")
        )
        self._show_fit()

    def _show_fit(self) -> None:
        """What cannot be drawn is not offered, and says why."""
        review = self._session.outing.review
        response = None if review is None else review.response
        has_fit = response is None or response.fitted_hr_bpm is not None
        why_not = ""
        if response is not None and not has_fit:
            why_not = tr("No fit: {why}").format(why=say(response.reason))
        self.fitted.setChecked(self._session.charts.fitted)
        self.fitted.setEnabled(has_fit)
        self.fitted.setToolTip(why_not or tr(FITTED_TIP))
        self.rate[Rate.RESIDUAL].setEnabled(has_fit)
        self.rate[Rate.RESIDUAL].setToolTip(why_not or tr(RESIDUAL_TIP))
