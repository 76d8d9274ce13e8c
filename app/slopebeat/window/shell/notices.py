"""Sentences that do not block: what went wrong or is worth knowing, and the progress of reading."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QWidget

from slopebeat.model.language import tr
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import button, label

SHOW_AFTER_MS = 150
"""Work done faster than this shows no progress at all [project choice]."""


class Notice(QFrame):
    """One sentence with a button to close it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self.text = label("", wrap=True)
        self.text.setAccessibleName(tr("Message"))
        self.dismiss = button(tr("Close"), "flat", tr("Close this message"))
        self.dismiss.clicked.connect(self.hide)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(14, 8, 14, 8)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.dismiss)
        self.hide()

    def say(self, sentence: str) -> None:
        self.text.setText(sentence)
        self.show()


class WaitingBar(QFrame):
    """Words, a bar and a button to stop, seen only when work lasts; subclasses say what is under way."""

    def __init__(self, name: str, stop_hint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.text = label("")
        self.progress = QProgressBar()
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(name)
        self.stop = button(tr("Cancel"), "", stop_hint)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(14, 6, 14, 6)
        layout.addWidget(self.text)
        layout.addWidget(self.progress, 1)
        layout.addWidget(self.stop)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(SHOW_AFTER_MS)
        self._late.timeout.connect(self.show)
        self.hide()

    def _end(self) -> None:
        self._late.stop()
        self.hide()


class ReadingBar(WaitingBar):
    """Progress of the file being read, with a button to stop."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Progress of reading"), tr("Stop reading; what is open stays open."), parent)
        self.stop.clicked.connect(session.opening.cancel)
        session.opening.started.connect(self._start)
        session.opening.progressed.connect(self._progress)
        session.opening.ended.connect(self._end)
        self._outing = session.outing
        session.outing.busy_changed.connect(self._reviewing)

    def _start(self, name: str) -> None:
        self.text.setText(tr("Reading {name}…").format(name=name))
        self.progress.setRange(0, 100)
        self.progress.setValue(0)
        self.stop.show()
        self._late.start()

    def _progress(self, share: float) -> None:
        self.progress.setValue(round(share * 100))

    def _reviewing(self, busy: bool) -> None:
        """The first review has no page yet that could say it is under way."""
        if busy and self._outing.review is None:
            self.text.setText(tr("Computing the review…"))
            self.progress.setRange(0, 0)
            self.stop.hide()
            self._late.start()
        elif not busy and self.stop.isHidden():
            self._end()
