"""What the recording is, what was done, what was doubted in it, and how far the ascent hangs on its limit."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QCheckBox, QComboBox, QPushButton, QScrollArea, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.marks import Mark, MarkState, Reason
from slopebeat.model.measures import GROUND, HEIGHT, shortest_number
from slopebeat.model.notes import SPORTS, NoteKind
from slopebeat.model.recording import Sport
from slopebeat.model.units import clock, minutes_seconds
from slopebeat.review.earlier import doubt_words
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.outing.stretches import StretchTable
from slopebeat.window.outing.time_zone import TimeZoneChoice, decide, entered_of_outing, shown_recording
from slopebeat.window.widgets.boxes import choice_box
from slopebeat.window.widgets.parts import GrowingPage, button, explained_by, label, row, scroll_down, stacked
from slopebeat.window.widgets.refresh import show_review_when_seen
from slopebeat.window.widgets.rows import Column


class WhatWasDone(QWidget):
    """A choice and a box; each decision is a note on the whole outing, kept and undone as notes are."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.sport = choice_box(
            tr("What was done"),
            tr("Put right what the file says was done; undo takes it back."),
            [("", None), *((key_name(sport), None) for sport in SPORTS)],
        )
        self.sport.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.level = QCheckBox(tr("The ground was level"))
        self.level.setToolTip(
            tr("The recording has no elevation. Declared level, its work rate is told from speed alone.")
        )
        self.seen = label("", "caption", wrap=True)
        stacked(self.sport, self.seen, self.level, of=self, margins=(14, 8, 14, 0), spacing=4)
        self.sport.activated.connect(lambda at: decide(session, NoteKind.SPORT, float(at) or None))
        self.level.clicked.connect(lambda level: decide(session, NoteKind.GRADE, 0.0 if level else None))
        self._refresh = show_review_when_seen(session, self, self._show, session.notes.changed)

    def _show(self, review: Review) -> None:
        recording = shown_recording(self._session)
        if recording is None:
            return
        file_says = tr("file says: {sport}").format(sport=key_name(recording.sport))
        if recording.sport is Sport.UNKNOWN:
            file_says = tr("the file does not say")
        self.sport.setItemText(0, file_says)
        noted = entered_of_outing(self._session, NoteKind.SPORT)
        self.sport.setCurrentIndex(0 if noted is None or noted.value is None else int(noted.value))
        self.seen.setText(
            tr("By speed, steps and climbing: {what}").format(what=key_name(review.recognised.kind))
            if noted is None
            else tr("Put right by hand")
        )
        declared = entered_of_outing(self._session, NoteKind.GRADE)
        without = review.elevation.ascent_m is None
        self.level.setVisible(without or declared is not None)
        self.level.setChecked(declared is not None and declared.value == 0.0)


MARK_COLUMNS: Sequence[Column] = (
    Column(mark("From"), mark("Where the stretch begins."), lambda i, m: m.start_s, clock),
    Column(mark("Lasts"), mark("How long it is."), lambda i, m: m.end_s - m.start_s, minutes_seconds),
    Column(mark("What"), mark("What is doubted."), lambda i, m: key_name(m.channel), str, left=True),
    Column(mark("Why"), mark("Why it is doubted."), lambda i, m: key_name(m.reason), str, left=True),
    Column(
        mark("State"),
        mark("Proposed and accepted stretches are left out and count for nothing; rejected ones are used."),
        lambda i, m: key_name(m.state),
        str,
        left=True,
    ),
)

HINT = mark("To mark more, drag over the heart rate with Shift held, or use Edit at the cursor.")


class DoubtsPanel(QWidget):
    """Table and buttons; A, R and Delete do the same from the keyboard."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session, doubts = session, session.doubts
        self.table = StretchTable(
            session, Picked.MARK, MARK_COLUMNS, tr("Doubted stretches"), lambda review: review.marks
        )
        self.nothing = label(tr("Nothing was doubted."))
        self.accept = button(tr("Leave out"), "", tr("Accept: the stretch counts for nothing (A)"))
        self.reject = button(tr("Use after all"), "", tr("Reject: the stretch is used as recorded (R)"))
        self.remove = button(tr("Remove"), "", tr("Take back a stretch marked by hand (Delete)"))
        self._connect(self.accept, Qt.Key.Key_A, doubts.accept)
        self._connect(self.reject, Qt.Key.Key_R, doubts.reject)
        self._connect(self.remove, Qt.Key.Key_Delete, doubts.remove)
        heading = label(tr("Doubted stretches"), "heading", tr(HINT))
        acts = row(heading, self.accept, self.reject, self.remove, spacing=6)
        self.words = label(tr(HINT), "caption", wrap=True)
        parts = (acts, self.nothing, (self.table, 1), self.words)
        stacked(*parts, of=self, margins=(14, 5, 14, 5), spacing=4)
        self.table.rows.modelReset.connect(self._show)
        self.table.selectionModel().selectionChanged.connect(self._show)
        self._show()

    def picked(self) -> Mark | None:
        """The mark that is selected."""
        chosen = self.table.picked_row()
        return None if chosen is None or chosen >= len(self.table.rows.rows) else self.table.rows.rows[chosen]

    def _connect(self, control: QPushButton, key: Qt.Key, act: Callable[[Mark], None]) -> None:
        """The button, and the key while the focus is in this panel, do the act on the selected mark."""

        def decide() -> None:
            mark = self.picked()
            if mark is not None and control.isEnabled():
                act(mark)

        control.clicked.connect(decide)
        QShortcut(QKeySequence(key), self, decide, context=Qt.ShortcutContext.WidgetWithChildrenShortcut)

    def _show(self, *_changed: object) -> None:
        self.nothing.setVisible(not self.table.rows.rows)
        mark, review = self.picked(), self._session.outing.review
        self.words.setText(tr(HINT) if mark is None or review is None else doubt_words(review, mark))
        self.accept.setEnabled(mark is not None and mark.state is not MarkState.ACCEPTED)
        self.reject.setEnabled(mark is not None and mark.state is not MarkState.REJECTED)
        self.remove.setEnabled(mark is not None and mark.reason is Reason.BY_HAND)


LEAST_PX = 24
"""Of sentences that scroll, where the window is low [project choice]."""


def ascent_lines(review: Review) -> list[str]:
    """Ascent and its dependence on the threshold, beside what the device itself summed up, and its name."""
    device = review.recording.device
    named = [tr("By the file's own words the device is: {device}").format(device=device)] if device else []
    elevation, totals = review.elevation, review.recording.totals
    if elevation.ascent_m is None:
        return [tr("The recording holds no elevation."), *named]
    by = elevation.ascent_by_threshold_m
    both = tr("Ascent {ascent}, descent {descent}")
    lines = [both.format(ascent=HEIGHT.text(elevation.ascent_m), descent=HEIGHT.text(elevation.descent_m))]
    at = tr("{ascent} at {least}")
    steps = [at.format(ascent=HEIGHT.text(by[key]), least=_rise(key)) for key in sorted(by)]
    lines.append(tr("By the least rise that counts: {steps}").format(steps=", ".join(steps)))
    if totals.ascent_m is not None:
        lines.append(tr("The device says: ascent {ascent}").format(ascent=HEIGHT.text(totals.ascent_m)))
    if totals.distance_m is not None:
        text = tr("The device says: distance {distance}")
        lines.append(text.format(distance=GROUND.text(totals.distance_m)))
    if totals.timer_s is not None:
        text = tr("The device says: {time} with the timer running")
        lines.append(text.format(time=clock(totals.timer_s)))
    return lines + named


def _rise(least_m: float) -> str:
    """A small height, exact in metres and to a tenth of a foot."""
    shown = HEIGHT.shown(least_m)
    return f"{shortest_number(round(shown, 1))} {HEIGHT.unit}"


class RecordingPanel(QWidget):
    """Elevation and device totals, the doubted stretches, remarks."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.done = WhatWasDone(session)
        self.elevation = Sentences(tr("Elevation and device totals"))
        self.doubts = DoubtsPanel(session)
        explained_by("ascent", self.elevation)
        explained_by("doubts", self.doubts)
        explained_by("sport", self.done)
        self.remarks = Sentences(tr("Remarks on the recording"))
        self.zone = TimeZoneChoice(session)
        placed = row(label(tr("Time zone"), "heading"), (self.zone, 1), margins=(14, 8, 8, 0))
        left = stacked(self.done, (self.elevation, 1), spacing=0)
        right = stacked(placed, (self.remarks, 1), spacing=0)
        row((left, 2), (self.doubts, 5), (right, 3), of=self, spacing=0)
        self._refresh = show_review_when_seen(session, self, self._show, session.display.changed)

    def _show(self, review: Review) -> None:
        self.elevation.say(ascent_lines(review))
        self.remarks.say(list(review.warnings) or [tr("Nothing to remark.")])


class Sentences(QScrollArea):
    """A heading and sentences under it."""

    def __init__(self, heading: str) -> None:
        super().__init__()
        self._heading = heading
        scroll_down(self, heading).setMinimumHeight(LEAST_PX)

    def say(self, lines: list[str]) -> None:
        page = GrowingPage()
        heading = label(self._heading, "heading", wrap=True)
        column = stacked(heading, of=page, margins=(14, 8, 14, 8), spacing=4)
        for line in lines:
            text = label(line, wrap=True)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            column.addWidget(text)
        column.addStretch(1)
        self.setWidget(page)
