"""The controls above the charts: what they run along, what the lowest shows, and the zoom."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TypeVar

import numpy as np
from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QPushButton, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.message import KeyEnum
from slopebeat.review.words.messages import say
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import button, explained_by, label, row, segments
from slopebeat.window.widgets.qt_texts import key_names

FITTED_TIP = mark("Heart rate as expected from work, slope and drift, with its lag (Ctrl+F)")
RESIDUAL_TIP = mark("Recorded heart rate less the fitted one: what work, slope and drift do not explain")


EXPLAINED: dict[KeyEnum, str] = {
    Rate.SPEED: "at_speed",
    Rate.VERTICAL: "at_vertical",
    Rate.RESIDUAL: "residual",
    Along.TIME: "at_time",
    Along.DISTANCE: "at_distance",
}
"""What the help says of each switch."""

GROUP_GAP_PX, SIDE_ROOM_PX = 14, 12
"""Room between two groups of buttons, and beside them [project choice]."""


T = TypeVar("T", Along, Rate)


class ChartBar(QWidget):
    """Two switches, the fitted line and the zoom buttons."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._captions: list[QLabel] = []
        self._row = QHBoxLayout(self)
        self._row.setSpacing(0)
        self.set_low(False)
        self._zoom = QWidget()
        self._add_switches()
        self._row.addWidget(self._zoom, 1)
        self._add_zoom()
        session.charts.changed.connect(self._show)
        session.outing.reviewed.connect(self._show)
        self._show()

    def _add_switches(self) -> None:
        choice, layout = self._session.charts, self._row
        self.choice = button(
            tr("What the charts show"), "", tr("Time or distance, lowest chart, fitted line")
        )
        self.choice.setMenu(QMenu(self.choice))
        self.choice.menu().aboutToShow.connect(self._fill_menu)
        self.choice.hide()
        layout.addWidget(self.choice)
        along = {Along.TIME: tr("Time"), Along.DISTANCE: tr("Distance")}
        self.along = self._switch(tr("Along"), along, choice.set_along)
        layout.addSpacing(GROUP_GAP_PX)
        rates = {
            Rate.SPEED: tr("Speed"),
            Rate.VERTICAL: tr("Vertical speed"),
            Rate.RESIDUAL: tr("Unexplained"),
        }
        self.rate = self._switch(tr("Lowest chart"), rates, choice.set_rate)
        layout.addSpacing(GROUP_GAP_PX)
        self.fitted = button(tr("Fitted line"), "segment")
        self.fitted.setAccessibleName(tr("Fitted heart rate"))
        explained_by("fitted", self.fitted)
        self.fitted.toggled.connect(choice.set_fitted)
        layout.addWidget(self.fitted)
        for view, one in (*self.along.items(), *self.rate.items()):
            explained_by(EXPLAINED[view], one)

    def set_low(self, low: bool) -> None:
        """Leave less room above on a low page."""
        self._row.setContentsMargins(SIDE_ROOM_PX, 4 if low else 8, SIDE_ROOM_PX, 0)

    def _add_zoom(self) -> None:
        visible = self._session.visible
        layout = row(of=self._zoom, spacing=0)
        for text, name, keys, act in (
            ("−", tr("Zoom out"), "Ctrl+-", partial(visible.zoom, 1 / 0.7)),
            ("+", tr("Zoom in"), "Ctrl++", partial(visible.zoom, 0.7)),
            (tr("Whole outing"), tr("Show all of it"), "Ctrl+0", visible.reset),
        ):
            made = button(text, "", f"{name} ({key_names(keys)})")
            made.setAccessibleName(name)
            made.clicked.connect(lambda _checked=False, act=act: act())
            layout.addWidget(made)
            layout.addSpacing(6)

    def fit_text(self) -> None:
        """Leave out captions where there is little room; where there is less the switches go into a menu."""
        room = self.width() - 2 * SIDE_ROOM_PX
        captions = sum(words.sizeHint().width() for words in self._captions)
        choices, zoom = self._choices_px(), self._zoom.sizeHint().width()
        side_by_side = choices + zoom <= room
        for one in (*self.along.values(), *self.rate.values(), self.fitted):
            one.setVisible(side_by_side)
        self.choice.setVisible(not side_by_side)
        for words in self._captions:
            words.setVisible(captions + choices + zoom <= room)
        # What is hidden while the bar is being resized would keep its room until the next time.
        both = self.layout()
        assert both is not None
        both.activate()

    def _choices_px(self) -> int:
        buttons = (*self.along.values(), *self.rate.values(), self.fitted)
        return sum(one.sizeHint().width() for one in buttons) + 2 * GROUP_GAP_PX

    def _fill_menu(self) -> None:
        menu = self.choice.menu()
        assert menu is not None
        menu.clear()
        menu.setToolTipsVisible(True)
        for caption, buttons in (
            (tr("Along"), tuple(self.along.values())),
            (tr("Lowest chart"), tuple(self.rate.values())),
            ("", (self.fitted,)),
        ):
            if caption:
                menu.addAction(caption).setEnabled(False)
            else:
                menu.addSeparator()
            for one in buttons:
                action = menu.addAction(one.text())
                action.setCheckable(True)
                action.setChecked(one.isChecked())
                action.setEnabled(one.isEnabled())
                action.setToolTip(one.toolTip())
                action.triggered.connect(one.click)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_text()

    def minimumSizeHint(self) -> QSize:
        """With the switches in a menu, or the bar could never become narrower than all of them."""
        least = self.choice.sizeHint().width() + self._zoom.sizeHint().width()
        return QSize(least + 2 * SIDE_ROOM_PX, super().minimumSizeHint().height())

    def _switch(self, caption: str, words: Mapping[T, str], act: Callable[[T], None]) -> dict[T, QPushButton]:
        """A caption and buttons of which one is down; each calls ``act`` with its value."""
        before = label(f"{caption}  ", "caption")
        self._captions.append(before)
        self._row.addWidget(before)
        made = segments(self, words, act)
        for one in made.values():
            one.setAccessibleName(f"{caption}: {one.text()}")
            self._row.addWidget(one)
        return made

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
