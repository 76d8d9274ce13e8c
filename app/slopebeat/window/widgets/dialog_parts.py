"""What dialogs share: a question before something is taken away, and the keys of undo.

The keys of the main window do not reach into a dialog.
"""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QMessageBox, QWidget

from slopebeat.model.language import tr
from slopebeat.session.undo import History


class Question:
    """One question with two answers; what is chosen without looking changes nothing."""

    @staticmethod
    def ask(parent: QWidget, title: str, words: str, act: str) -> bool:
        """Whether to do it; ``act`` names it on its button."""
        box = QMessageBox(QMessageBox.Icon.Question, title, words, parent=parent)
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.addButton(act, QMessageBox.ButtonRole.AcceptRole)
        leave = box.addButton(tr("Cancel"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(leave)
        box.setEscapeButton(leave)
        box.exec()
        return box.clickedButton() is not leave


def undo_keys(dialog: QDialog, history: History) -> None:
    """Take back and do again with the usual keys while the dialog is open."""
    keys = QKeySequence.StandardKey
    for key, act in ((keys.Undo, history.undo), (keys.Redo, history.redo)):
        QShortcut(QKeySequence(key), dialog, act)
