"""What the recording is, what was doubted in it, and how far the ascent hangs on its threshold."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.model.units import clock, duration
from slopebeat.review.outing import Review
from slopebeat.session.display import kilometres, number
from slopebeat.session.session import Session
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


def mark_lines(review: Review) -> list[str]:
    """One line per doubted stretch."""
    return [
        f"{clock(m.start_s)} to {clock(m.end_s)} ({duration(m.end_s - m.start_s)}): "
        f"{m.channel.value}, {m.reason.value}"
        for m in review.marks
        if m.counts
    ]


class RecordingPanel(QScrollArea):
    """Three columns of plain sentences."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWidgetResizable(True)
        self.setAccessibleName("Recording and doubts")
        self._fresh = FreshWhenSeen(self, session.outing.reviewed, self._show)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        page = QWidget()
        layout = QHBoxLayout(page)
        layout.setContentsMargins(14, 8, 14, 8)
        layout.setSpacing(24)
        doubts = mark_lines(review) or ["Nothing was doubted."]
        notes = list(review.warnings) or ["Nothing to remark."]
        for heading, lines in (
            ("Elevation and device totals", ascent_lines(review)),
            ("Doubted and left out", doubts),
            ("Remarks on the recording", notes),
        ):
            layout.addLayout(_column(heading, lines), 1)
        self.setWidget(page)


def _column(heading: str, lines: list[str]) -> QVBoxLayout:
    column = QVBoxLayout()
    column.setSpacing(4)
    column.addWidget(label(heading, "heading"))
    for line in lines:
        text = label(line, wrap=True)
        text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column.addWidget(text)
    column.addStretch(1)
    return column
