"""What the recording is, what was doubted in it, and how far the ascent hangs on its threshold."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.model.units import clock
from slopebeat.review.outing import Review
from slopebeat.session.display import kilometres, number
from slopebeat.session.session import Session
from slopebeat.window.doubts_panel import DoubtsPanel
from slopebeat.window.fresh import FreshWhenSeen
from slopebeat.window.parts import label


def ascent_lines(review: Review) -> list[str]:
    """Ascent and its dependence on the threshold, beside what the device itself summed up."""
    elevation, totals = review.elevation, review.recording.totals
    if elevation.ascent_m is None:
        return ["The recording holds no elevation."]
    by = elevation.ascent_by_threshold_m
    lines = [f"Ascent {number(elevation.ascent_m)} m, descent {number(elevation.descent_m)} m"]
    steps = ", ".join(f"{number(by[key])} m at {key:g} m" for key in sorted(by))
    lines.append(f"By the least rise that counts: {steps}")
    if totals.ascent_m is not None:
        lines.append(f"The device says: ascent {number(totals.ascent_m)} m")
    if totals.distance_m is not None:
        lines.append(f"The device says: distance {kilometres(totals.distance_m)} km")
    if totals.timer_s is not None:
        lines.append(f"The device says: {clock(totals.timer_s)} with the timer running")
    return lines


class RecordingPanel(QWidget):
    """Elevation and device totals, the doubted stretches, remarks."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.elevation = Sentences("Elevation and device totals")
        self.doubts = DoubtsPanel(session)
        self.remarks = Sentences("Remarks on the recording")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.elevation, 2)
        layout.addWidget(self.doubts, 5)
        layout.addWidget(self.remarks, 2)
        self._fresh = FreshWhenSeen(self, session.outing.reviewed, self._show)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.elevation.say(ascent_lines(review))
            self.remarks.say(list(review.warnings) or ["Nothing to remark."])


class Sentences(QScrollArea):
    """A heading and sentences under it."""

    def __init__(self, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._heading = heading
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(heading)

    def say(self, lines: list[str]) -> None:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(14, 8, 14, 8)
        column.setSpacing(4)
        column.addWidget(label(self._heading, "heading"))
        for line in lines:
            text = label(line, wrap=True)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            column.addWidget(text)
        column.addStretch(1)
        self.setWidget(page)
