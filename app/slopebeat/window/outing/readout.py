"""The figures under the cursor."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QFrame, QLabel

from slopebeat.model.language import tr
from slopebeat.model.units import MISSING
from slopebeat.review.present.cursor import CURSOR_FIGURES
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import grid_layout, label, rename


class Readout(QFrame):
    """A strip of captions and figures; dashes while there is no cursor.

    On a low page it is one line: the unit stands behind the figure and the caption is left to hovering.
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._low = False
        self._grid = grid = grid_layout(6, 0, self, (12, 6, 12, 2), (1,) * len(CURSOR_FIGURES))
        self.values: dict[str, QLabel] = {}
        self._captions: dict[str, QLabel] = {}
        for column, figure in enumerate(CURSOR_FIGURES):
            caption = label("", "caption", tr(figure.line))
            grid.addWidget(caption, 0, column)
            value = label(MISSING, "figure", tr(figure.line))
            grid.addWidget(value, 1, column)
            self.values[figure.key], self._captions[figure.key] = value, caption
        session.cursor.changed.connect(self._show)
        session.outing.reviewed.connect(self._show)
        session.display.changed.connect(self._name)
        session.display.changed.connect(self._show)
        self._name()

    def set_low(self, low: bool) -> None:
        """Be one line, or two."""
        if low == self._low:
            return
        self._low = low
        self._grid.setContentsMargins(12, 2 if low else 6, 12, 0 if low else 2)
        for caption in self._captions.values():
            caption.setVisible(not low)
        self._show()

    def _name(self) -> None:
        for figure in CURSOR_FIGURES:
            self._captions[figure.key].setText(figure.caption)
            text = tr("{figure} at the cursor").format(figure=figure.caption)
            self.values[figure.key].setAccessibleName(text)

    def _show(self) -> None:
        review, t_s = self._session.outing.review, self._session.cursor.t_s
        there = review is not None and t_s is not None and len(review.track) > 0
        for figure in CURSOR_FIGURES:
            text = MISSING
            if there:
                assert review is not None
                assert t_s is not None
                t = review.track.t_s
                i = int(np.clip(np.searchsorted(t, t_s, side="right") - 1, 0, t.size - 1))
                text = figure.text_of(i, review)
            if self._low and not there:
                # Without a figure its name says what will stand here.
                text = tr(figure.name)
            elif self._low:
                text = f"{text} {figure.unit}".rstrip()
            self.values[figure.key].setText(text)
            low = "fine_figure" if there else "caption"
            rename(self.values[figure.key], low if self._low else "figure")
