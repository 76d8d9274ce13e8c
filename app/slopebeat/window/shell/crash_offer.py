"""After an unexpected end: an offer, which does not block, to open again what was open."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.session.ended import Place
from slopebeat.window.widgets.parts import button, label

if TYPE_CHECKING:
    from slopebeat.window.shell.main_window import MainWindow


class CrashOffer(QFrame):
    """One sentence, a button that opens again, and one that does not; seen only when there is an offer."""

    def __init__(self, window: MainWindow, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._window = window
        self._place: Place | None = None
        self.text = label("", wrap=True)
        self.text.setAccessibleName(tr("Message"))
        self.again = button(tr("Open it again"), "", tr("Open what was open when the program ended"))
        self.dismiss = button(tr("Close"), "flat", tr("Close this message"))
        self.again.clicked.connect(self._open_again)
        self.dismiss.clicked.connect(self.hide)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(14, 8, 14, 8)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.again)
        layout.addWidget(self.dismiss)
        self.hide()

    def offer(self, place: Place | None) -> None:
        """Offer to open this; nothing is said when there is nothing."""
        self._place = place
        if place is not None:
            said = tr("Slopebeat ended unexpectedly; open {name} again?")
            self.text.setText(said.format(name=place.name))
        self.setVisible(place is not None)

    def _open_again(self) -> None:
        place, window = self._place, self._window
        self.hide()
        if place is None:
            return
        if place.library:
            self._open_kept(place)
        elif place.demo:
            window.open_demo()
        else:
            window.open([Path(path) for path in place.paths])
        if place.index:
            once = Qt.ConnectionType.SingleShotConnection
            session = window.session
            session.outing.recordings_changed.connect(lambda: session.outing.choose(place.index), once)

    def _open_kept(self, place: Place) -> None:
        """Open the library, and in it the outing."""
        library = self._window.session.library

        def show() -> None:
            with suppress(StopIteration):
                library.opened.choose_athlete(place.athlete)
            library.open_outing(place.outing)

        library.opened.opened.connect(show, Qt.ConnectionType.SingleShotConnection)
        if place.demo:
            library.open_demo()
        else:
            library.open(Path(place.library))
