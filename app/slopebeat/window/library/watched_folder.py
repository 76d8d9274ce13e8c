"""The folder that is looked at while the program runs: which one, for whom, and how it stands."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFileDialog, QVBoxLayout, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.library.watch import EVERY_MS
from slopebeat.window.widgets.parts import button, label

MEANING = mark(
    "New recordings in this folder, and in all folders in it, are imported by themselves: when the library "
    "is opened and every {seconds} s while the program runs. The folder of a device that is plugged in now "
    "and then works as well. Nothing in it is ever changed or deleted."
)
LEAST_PX = 460


class WatchedFolderDialog(QDialog):
    """Chooses the folder and the athlete; what is chosen holds at once."""

    def __init__(self, parent: QWidget | None, library: LibrarySession) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Watched folder"))
        self.setMinimumWidth(LEAST_PX)
        self._library, self._watch = library, library.watch
        self.state = label("", "detail", wrap=True)
        self.whose = QComboBox()
        self.whose.setAccessibleName(tr("Whose outings these are"))
        for athlete in library.opened.athletes:
            self.whose.addItem(athlete.name, athlete)
        shown = self._watch.watched.athlete or getattr(library.opened.athlete, "identity", "")
        known = [athlete.identity for athlete in library.opened.athletes]
        self.whose.setCurrentIndex(known.index(shown) if shown in known else 0)
        self.choose = button(
            tr("Choose a folder…"), "", tr("New recordings in it are imported by themselves")
        )
        self.again = button(tr("Look now"), "", tr("Look for new recordings at once"))
        self.stop = button(tr("Stop looking"), "", tr("Outings that were imported stay"))
        self.choose.clicked.connect(self._ask)
        self.again.clicked.connect(self._watch.look_again)
        self.again.clicked.connect(self.show_state)
        self.stop.clicked.connect(self._watch.stop)
        self.whose.activated.connect(self._of_other)
        self._watch.changed.connect(self.show_state)
        self._watch.arrived.connect(self.show_state)
        close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        close.rejected.connect(self.reject)
        for own in (self.choose, self.again, self.stop):
            close.addButton(own, QDialogButtonBox.ButtonRole.ActionRole)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 14)
        layout.setSpacing(12)
        layout.addWidget(label(tr(MEANING).format(seconds=EVERY_MS // 1000), wrap=True))
        layout.addWidget(label(tr("Whose outings these are"), "caption"))
        layout.addWidget(self.whose)
        layout.addWidget(self.state)
        layout.addWidget(close)
        self.show_state()

    @classmethod
    def ask(cls, parent: QWidget, library: LibrarySession) -> None:
        cls(parent, library).exec()

    def show_state(self, *_report: object) -> None:
        """Say which folder is looked at, and whether it is there."""
        watched = self._watch.watched
        self.again.setEnabled(watched.folder is not None)
        self.stop.setEnabled(watched.folder is not None)
        if watched.folder is None:
            self.state.setText(tr("No folder is looked at."))
            return
        words = tr("Looked at: {folder}").format(folder=watched.folder)
        if watched.library != getattr(self._library.opened.library, "path", None):
            words += "\n" + tr("It is for another library: {path}").format(path=watched.library)
        elif self._watch.held:
            words += "\n" + tr("The last import was stopped or failed; look again when you like.")
        elif self._watch.there is False:
            words += "\n" + tr("It is not there at the moment; it is looked for again and again.")
        self.state.setText(words)

    def take(self, folder: Path) -> None:
        """Look into this folder for the athlete that is chosen."""
        self._watch.watch(folder, self.whose.currentData())

    def _ask(self) -> None:
        name = QFileDialog.getExistingDirectory(self, tr("A folder to look at"))
        if name:
            self.take(Path(name))

    def _of_other(self) -> None:
        if self._watch.watched.folder is not None:
            self.take(self._watch.watched.folder)
