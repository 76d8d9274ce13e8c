"""Sentences that do not block: what went wrong or is worth knowing, and the progress of what lasts."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QTimer, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFrame, QProgressBar, QPushButton, QWidget

from slopebeat.model.language import tr
from slopebeat.window.widgets.parts import button, label, row

SHOW_AFTER_MS = 150
"""Work done faster than this shows no progress at all [project choice]."""


class Opener:
    """Shows a file or a folder with the program that the system has for it."""

    @staticmethod
    def open(path: Path) -> bool:
        """Whether there was such a program."""
        return QDesktopServices.openUrl(QUrl.fromLocalFile(str(path.absolute())))


class MessageBar(QFrame):
    """One sentence with a button to act on it and one to close it; not seen while there is nothing to say."""

    def __init__(self, act: QPushButton, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self.text = label("", wrap=True)
        self.text.setAccessibleName(tr("Message"))
        self.dismiss = button(tr("Close"), "flat", tr("Close this message"))
        self.dismiss.clicked.connect(self.hide)
        row((self.text, 1), act, self.dismiss, of=self, margins=(14, 8, 14, 8), spacing=None)
        self.hide()


class Notice(MessageBar):
    """What went wrong or is worth knowing; its button opens the file or folder it speaks of."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self.opens = button("", "flat", tr("Show it with the program that this computer has for it"))
        super().__init__(self.opens, parent)
        self._written = Path()
        self.opens.clicked.connect(self._open)

    def say(self, sentence: str, written: Path | None = None) -> None:
        """Say this; ``written`` is a file or folder that can be opened from here."""
        self.text.setText(sentence)
        self.opens.setVisible(written is not None)
        if written is not None:
            self._written = written
            self.opens.setText(tr("Open folder") if written.is_dir() else tr("Open"))
        self.show()

    def _open(self) -> None:
        if Opener.open(self._written):
            return
        folder = self._written if self._written.is_dir() else self._written.parent
        if folder == self._written or not Opener.open(folder):
            self.say(tr("No program was found that opens it; it lies in {folder}.").format(folder=folder))


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
        parts = (self.text, (self.progress, 1), self.stop)
        row(*parts, of=self, margins=(14, 6, 14, 6), spacing=None)
        self._late = QTimer(self, interval=SHOW_AFTER_MS, singleShot=True)
        self._late.timeout.connect(self.show)
        self.hide()

    def _end(self) -> None:
        self._late.stop()
        self.hide()
