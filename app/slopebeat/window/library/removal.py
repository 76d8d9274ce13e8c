"""Asking before outings are removed from the library: what would be lost, and a way back."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete
from slopebeat.model.titles import shown_title
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.widgets.parts import button, label


class RemovalBar(QFrame):
    """A question over the list; nothing is removed until it is answered."""

    def __init__(self, library: LibrarySession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._library = library
        self._wanted: tuple[str, ...] = ()
        self._whose: Athlete | None = None
        self.text = label("", wrap=True)
        self.text.setAccessibleName(tr("What would be removed"))
        self.remove = button(tr("Remove"), "", tr("Remove them for good"))
        self.leave = button(tr("Leave them"), "primary", tr("Remove nothing"))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(14, 8, 14, 8)
        layout.setSpacing(8)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.leave)
        layout.addWidget(self.remove)
        self.remove.clicked.connect(self._remove)
        self.leave.clicked.connect(self.drop)
        library.opened.athlete_changed.connect(self._look_again)
        self.hide()

    def ask(self, identities: tuple[str, ...]) -> None:
        """Ask about these outings; none asks nothing."""
        self._wanted, self._whose = identities, self._library.opened.athlete
        if not identities:
            self.hide()
            return
        self.text.setText(self._words())
        self.show()
        self.leave.setFocus()

    def drop(self) -> None:
        """Ask no more."""
        self._wanted = ()
        self.hide()

    def event(self, event: QEvent) -> bool:
        """Escape means this question while it has the focus, whatever it is a shortcut for elsewhere."""
        asked = event.type() == QEvent.Type.ShortcutOverride
        if asked and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.drop()
            return
        super().keyPressEvent(event)

    def _look_again(self) -> None:
        """Another athlete is no time for this question; work that ends is."""
        now = self._library.opened.athlete
        if self._whose is None or now is None or now.identity != self._whose.identity:
            self.drop()

    def _words(self) -> str:
        count = len(self._wanted)
        outings = {row.outing.identity: row.outing for row in self._library.opened.rows}
        chosen = [outings[identity] for identity in self._wanted if identity in outings]
        what = trn(
            "Remove {n} outing, {names}, with the recording that is kept of it?",
            "Remove {n} outings, {names}, with the recordings that are kept of them?",
            count,
        ).format(n=count, names=_names([shown_title(outing.title, outing.file_name) for outing in chosen]))
        notes, decided = self._library.written_on(self._wanted)
        sentences = [what]
        if notes:
            lost = trn("{n} note on them is lost.", "{n} notes on them are lost.", notes)
            sentences.append(lost.format(n=notes))
        if decided:
            lost = trn(
                "What was decided on doubted stretches of {n} outing is lost.",
                "What was decided on doubted stretches of {n} outings is lost.",
                decided,
            )
            sentences.append(lost.format(n=decided))
        return " ".join(
            [*sentences, tr("This cannot be undone; the files you imported stay where they are.")]
        )

    def _remove(self) -> None:
        wanted = self._wanted
        self.drop()
        self._library.remove_outings(wanted)


def _names(titles: list[str]) -> str:
    """The first titles, the rest by their number."""
    shown = ", ".join(f"“{title}”" for title in titles[:3])
    return shown if len(titles) <= 3 else tr("{names} and {n} more").format(names=shown, n=len(titles) - 3)
