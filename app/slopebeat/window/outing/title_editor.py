"""The title of the outing on screen: words that become a line to type in."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QWidget

from slopebeat.model.language import tr
from slopebeat.model.recording import LONGEST_TITLE, title_of
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import label

ROOM_CHARS = 42
"""Width of the line while it is typed in, in characters [project choice]."""


class TitleEditor(QWidget):
    """Double click or F2 to type; Enter or leaving the line keeps what was typed, Esc leaves it as it was."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._index = -1
        self.words = label("", "heading", tr("Double click or F2 to change the title"))
        self.line = QLineEdit()
        self.line.setMaxLength(LONGEST_TITLE)
        self.line.setAccessibleName(tr("Title of the outing"))
        self.line.hide()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.words)
        layout.addWidget(self.line)
        self.line.installEventFilter(self)
        self.line.editingFinished.connect(self._keep)
        session.outing.replaced.connect(self._show)
        session.outing.reviewed.connect(self._show_words)
        session.outing.title_changed.connect(self._show_words)
        session.outing.chosen.connect(self._leave)

    def text(self) -> str:
        """The title as it is shown."""
        return self.words.text()

    def begin(self) -> None:
        """Put the keyboard where the title is typed."""
        outing = self._session.outing
        if outing.review is None or outing.index < 0 or not self.line.isHidden():
            return
        self._index = outing.index
        self.line.setText(title_of(outing.recordings[outing.index]))
        self.line.setMinimumWidth(ROOM_CHARS * self.line.fontMetrics().averageCharWidth())
        self.words.hide()
        self.line.show()
        self.line.selectAll()
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.begin()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            # The window has an act on this key, too.
            if event.type() is QEvent.Type.ShortcutOverride:
                event.accept()
                return True
            if event.type() is QEvent.Type.KeyPress:
                self._leave()
                return True
        return super().eventFilter(watched, event)

    def _keep(self) -> None:
        if not self.line.isHidden():
            typed, same = self.line.text(), self._index == self._session.outing.index
            self._leave()
            if same:
                self._session.edit_title(typed)

    def _leave(self) -> None:
        """Hiding the line ends editing as well: by then nothing of it counts."""
        if not self.line.isHidden():
            focused = self.line.hasFocus()
            self._index = -1
            self.line.hide()
            self.words.show()
            if focused:
                self.window().setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        self._leave()
        self._show_words()

    def _show_words(self) -> None:
        outing = self._session.outing
        if outing.review is not None and outing.index >= 0:
            self.words.setText(title_of(outing.recordings[outing.index]))
