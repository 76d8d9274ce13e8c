"""The figures under the cursor."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QWidget

from slopebeat.model.language import tr
from slopebeat.model.units import MISSING
from slopebeat.review.present.cursor import CURSOR_FIGURES
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import label


class Readout(QFrame):
    """A strip of captions and figures; dashes while there is no cursor."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        grid = QGridLayout(self)
        grid.setContentsMargins(12, 6, 12, 2)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(0)
        self.values: dict[str, QLabel] = {}
        self._captions: dict[str, QLabel] = {}
        for column, figure in enumerate(CURSOR_FIGURES):
            caption = label("", "caption", tr(figure.line))
            grid.addWidget(caption, 0, column)
            value = label(MISSING, "figure", tr(figure.line))
            grid.addWidget(value, 1, column)
            grid.setColumnStretch(column, 1)
            self.values[figure.key], self._captions[figure.key] = value, caption
        session.cursor.changed.connect(self._show)
        session.outing.reviewed.connect(self._show)
        session.display.changed.connect(self._name)
        session.display.changed.connect(self._show)
        self._name()

    def _name(self) -> None:
        for figure in CURSOR_FIGURES:
            self._captions[figure.key].setText(figure.caption)
            said = tr("{figure} at the cursor").format(figure=figure.caption)
            self.values[figure.key].setAccessibleName(said)

    def _show(self) -> None:
        review, t_s = self._session.outing.review, self._session.cursor.t_s
        if review is None or t_s is None or not len(review.track):
            for value in self.values.values():
                value.setText(MISSING)
            return
        t = review.track.t_s
        i = int(np.clip(np.searchsorted(t, t_s, side="right") - 1, 0, t.size - 1))
        for figure in CURSOR_FIGURES:
            self.values[figure.key].setText(figure.text_of(i, review))
