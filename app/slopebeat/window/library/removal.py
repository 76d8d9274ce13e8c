"""Asking before outings are removed from the library: what would be lost, and a way back."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from slopebeat.model.language import mark, tr, trn
from slopebeat.model.people import Athlete
from slopebeat.model.recording import shown_title
from slopebeat.review.notes.keeping import WrittenCount, written_on
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.widgets.parts import button, label

LAST_WORD = mark("This cannot be undone; the files you imported stay where they are.")


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
        self.text.setText(f"{self._question()} {tr('Looking for what was written on them…')}")
        self.remove.setEnabled(False)
        self.show()
        self.leave.setFocus()

        def show(written: WrittenCount) -> None:
            if self._wanted == identities:
                self.text.setText(" ".join((self._question(), *_losses(written), tr(LAST_WORD))))
                self.remove.setEnabled(True)

        self._library.opened.ask(lambda library: written_on(library, identities), show, self._refused)

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

    def _refused(self, sentence: str) -> None:
        """What would be lost cannot be said, so that nobody is asked."""
        self.drop()
        self._library.failed.emit(sentence)

    def _question(self) -> str:
        count = len(self._wanted)
        outings = {row.outing.identity: row.outing for row in self._library.opened.rows}
        chosen = [outings[identity] for identity in self._wanted if identity in outings]
        return trn(
            "Remove {n} outing, {names}, with the recording that is kept of it?",
            "Remove {n} outings, {names}, with the recordings that are kept of them?",
            count,
        ).format(n=count, names=_names([shown_title(outing.title, outing.file_name) for outing in chosen]))

    def _remove(self) -> None:
        wanted = self._wanted
        self.drop()
        self._library.remove_outings(wanted)


def _losses(written: WrittenCount) -> list[str]:
    """What is lost of what was written and decided, in sentences."""
    sentences = []
    if written.notes:
        lost = trn("{n} note on them is lost.", "{n} notes on them are lost.", written.notes)
        sentences.append(lost.format(n=written.notes))
    if written.decided:
        lost = trn(
            "What was decided on doubted stretches of {n} outing is lost.",
            "What was decided on doubted stretches of {n} outings is lost.",
            written.decided,
        )
        sentences.append(lost.format(n=written.decided))
    return sentences


def _names(titles: list[str]) -> str:
    """The first titles, the rest by their number."""
    shown = ", ".join(f"“{title}”" for title in titles[:3])
    return shown if len(titles) <= 3 else tr("{names} and {n} more").format(names=shown, n=len(titles) - 3)
