"""A loop on the way that may be gone again, by its two ends."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.review.words.names import on_way
from slopebeat.session.route.route import RoutePlanning
from slopebeat.window.route.entry import PlaceBox
from slopebeat.window.widgets.parts import WrappingRow, button, entries, label


class LoopEntry(QFrame):
    """A loop by its two ends, typed; drawn ones are shown here as well."""

    def __init__(self, planning: RoutePlanning, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._planning = planning
        tip = tr("Distance along the way. A loop can also be drawn on the profile with the mouse.")
        self.start = PlaceBox(tr("Start of the loop"), tip)
        self.end = PlaceBox(tr("End of the loop"), tip)
        self.snap = button(tr("Move the ends together"), "", tr("To where they lie closest on the ground"))
        self.clear = button(tr("No loop"), "", tr("Plan without extra laps"))
        self.words = label("", "caption", wrap=True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(5)
        layout.addWidget(label(tr("A loop to go again"), "heading"))
        layout.addLayout(entries((tr("From"), self.start), (tr("to"), self.end)))
        layout.addLayout(WrappingRow(self.snap, self.clear, line_spacing=5))
        layout.addWidget(self.words)
        for box in (self.start, self.end):
            box.valueChanged.connect(self._edited)
        self.snap.clicked.connect(self._snap)
        self.clear.clicked.connect(self._clear)
        planning.wanted_changed.connect(self.show_loop)
        self.show_loop()

    def show_loop(self) -> None:
        """Show the loop in the unit in force, and whether it is one on the ground."""
        route, loop = self._planning.route, self._planning.loop
        length = route.length_m if route else 0.0
        ends = (loop.start_m, loop.end_m) if loop else (0.0, 0.0)
        for box, at in zip((self.start, self.end), ends, strict=True):
            box.use_unit(at, length)
        self.snap.setEnabled(loop is not None and loop.closed is not None)
        self.clear.setEnabled(loop is not None)
        self.words.setText(self._said())

    def _said(self) -> str:
        loop = self._planning.loop
        if loop is None:
            return tr("Draw a stretch on the profile, or type its ends: laps to the target are counted.")
        if loop.apart_m is None:
            return tr("This file has no positions: whether the ends meet is not known.")
        if loop.closed:
            return tr("The ends lie {distance} apart.").format(distance=on_way(loop.apart_m))
        text = tr("No loop: the ends lie {distance} apart on the ground; going it again needs a way between.")
        return text.format(distance=on_way(loop.apart_m))

    def _edited(self) -> None:
        if self.end.metres() > self.start.metres():
            self._planning.mark_loop(self.start.metres(), self.end.metres(), snap=False)

    def _snap(self) -> None:
        loop = self._planning.loop
        if loop is not None:
            self._planning.mark_loop(loop.start_m, loop.end_m)

    def _clear(self) -> None:
        self._planning.set_wanted(replace(self._planning.wanted, loop_m=None))
