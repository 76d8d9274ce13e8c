"""What the recording is, what was doubted in it, and how far the ascent hangs on its threshold."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.model.measures import GROUND, HEIGHT, shortest_number
from slopebeat.model.units import clock
from slopebeat.review.outing import Review
from slopebeat.session.session import Session
from slopebeat.window.outing.doubts_panel import DoubtsPanel
from slopebeat.window.outing.what_was_done import WhatWasDone
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import GrowingPage, explained_by, label

LEAST_PX = 24
"""Of sentences that scroll, where the window is low [project choice]."""


def ascent_lines(review: Review) -> list[str]:
    """Ascent and its dependence on the threshold, beside what the device itself summed up."""
    elevation, totals = review.elevation, review.recording.totals
    if elevation.ascent_m is None:
        return [tr("The recording holds no elevation.")]
    by = elevation.ascent_by_threshold_m
    both = tr("Ascent {ascent}, descent {descent}")
    lines = [both.format(ascent=HEIGHT.text(elevation.ascent_m), descent=HEIGHT.text(elevation.descent_m))]
    at = tr("{ascent} at {least}")
    steps = [at.format(ascent=HEIGHT.text(by[key]), least=_rise(key)) for key in sorted(by)]
    lines.append(tr("By the least rise that counts: {steps}").format(steps=", ".join(steps)))
    if totals.ascent_m is not None:
        lines.append(tr("The device says: ascent {ascent}").format(ascent=HEIGHT.text(totals.ascent_m)))
    if totals.distance_m is not None:
        said = tr("The device says: distance {distance}")
        lines.append(said.format(distance=GROUND.text(totals.distance_m)))
    if totals.timer_s is not None:
        said = tr("The device says: {time} with the timer running")
        lines.append(said.format(time=clock(totals.timer_s)))
    return lines


def _rise(least_m: float) -> str:
    """A small height, exact in metres and to a tenth of a foot."""
    shown = HEIGHT.shown(least_m)
    return f"{shortest_number(round(shown, 1))} {HEIGHT.unit}"


class RecordingPanel(QWidget):
    """Elevation and device totals, the doubted stretches, remarks."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.done = WhatWasDone(session)
        self.elevation = Sentences(tr("Elevation and device totals"))
        self.doubts = DoubtsPanel(session)
        explained_by("ascent", self.elevation)
        explained_by("doubts", self.doubts)
        explained_by("sport", self.done)
        self.remarks = Sentences(tr("Remarks on the recording"))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        said = QVBoxLayout()
        said.setSpacing(0)
        said.addWidget(self.done)
        said.addWidget(self.elevation, 1)
        layout.addLayout(said, 2)
        layout.addWidget(self.doubts, 5)
        layout.addWidget(self.remarks, 2)
        self._fresh = FreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.display.changed
        )

    def _show(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.elevation.say(ascent_lines(review))
            self.remarks.say(list(review.warnings) or [tr("Nothing to remark.")])


class Sentences(QScrollArea):
    """A heading and sentences under it."""

    def __init__(self, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._heading = heading
        self.setWidgetResizable(True)
        self.setMinimumHeight(LEAST_PX)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(heading)

    def say(self, lines: list[str]) -> None:
        page = GrowingPage()
        column = QVBoxLayout(page)
        column.setContentsMargins(14, 8, 14, 8)
        column.setSpacing(4)
        column.addWidget(label(self._heading, "heading", wrap=True))
        for line in lines:
            text = label(line, wrap=True)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            column.addWidget(text)
        column.addStretch(1)
        self.setWidget(page)
