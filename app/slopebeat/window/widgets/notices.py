"""Sentences that do not block: what went wrong or is worth knowing, and the progress of what lasts."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QWidget

from slopebeat.model.language import tr
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
