"""Qt's own words, such as the names of keys and of the buttons of its dialogs, in the program's language."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QKeyCombination, QLibraryInfo, Qt, QTranslator
from PySide6.QtGui import QKeySequence

from slopebeat.model.language import language


def use_qt_texts(app: QCoreApplication) -> QTranslator | None:
    """Put Qt's texts in the language in force; None where Qt has none, and its texts stay English."""
    texts = QTranslator(app)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if not texts.load(f"qtbase_{language()}", folder) or not app.installTranslator(texts):
        texts.deleteLater()
        return None
    return texts


def key_names(shortcut: str) -> str:
    """How the keys of a shortcut, given as Qt's portable text, are called in the program's language."""
    return QKeySequence(shortcut).toString(QKeySequence.SequenceFormat.NativeText)


def keys_held(keys: Qt.KeyboardModifier) -> str:
    """How keys held during a drag or click are called, ready to be followed by it: ``Ctrl+Shift+``."""
    return QKeySequence(QKeyCombination(keys, Qt.Key(0))).toString(QKeySequence.SequenceFormat.NativeText)
