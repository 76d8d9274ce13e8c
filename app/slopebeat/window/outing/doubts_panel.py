"""The doubted stretches as a table, each to be left out, used after all, or taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.marks import Mark, MarkState, Reason
from slopebeat.model.units import clock, minutes_seconds
from slopebeat.review.doubts import doubt_words
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.outing.stretches import StretchTable
from slopebeat.window.widgets.parts import button, label, row
from slopebeat.window.widgets.table import Column

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

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
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
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 5, 14, 5)
        layout.setSpacing(4)
        layout.addLayout(
            row(
                label(tr("Doubted stretches"), "heading", tr(HINT)),
                self.accept,
                self.reject,
                self.remove,
                spacing=6,
            )
        )
        layout.addWidget(self.nothing)
        layout.addWidget(self.table, 1)
        self.words = label(tr(HINT), "caption", wrap=True)
        layout.addWidget(self.words)
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
        shortcut = QShortcut(QKeySequence(key), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(decide)

    def _show(self, *_changed: object) -> None:
        self.nothing.setVisible(not self.table.rows.rows)
        mark, review = self.picked(), self._session.outing.review
        self.words.setText(tr(HINT) if mark is None or review is None else doubt_words(review, mark))
        self.accept.setEnabled(mark is not None and mark.state is not MarkState.ACCEPTED)
        self.reject.setEnabled(mark is not None and mark.state is not MarkState.REJECTED)
        self.remove.setEnabled(mark is not None and mark.reason is Reason.BY_HAND)
