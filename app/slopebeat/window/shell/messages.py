"""Messages and progress: one row over the foot of the page, and the bars only the main window shows there."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.plots.theme import theme
from slopebeat.window.widgets.notices import MessageBar, WaitingBar
from slopebeat.window.widgets.parts import button, holder, row, stacked

if TYPE_CHECKING:
    from slopebeat.session.ended import LastOpened
    from slopebeat.session.session import Session

SIDE_PX, FOOT_PX = 12, 10
"""Room left beside and under the row [project choice]."""

LEAST_BAR_PX = 420
"""What a bar needs to be read at the usual text size [project choice]."""


class MessageArea(QWidget):
    """Holds bars side by side over the foot of the page; those that have nothing to say take no room.

    Where not all have room to be read the first ones are shown, and the others once those have gone.
    """

    def __init__(self, page: QWidget, *bars: QWidget) -> None:
        """``bars`` in the order of their weight."""
        super().__init__(page)
        self._page, self._bars = page, bars
        layout = row(of=self, stretch_last=True)
        self._places: list[QWidget] = []
        for bar in bars:
            # The page shows through between their rounded corners, never through themselves.
            bar.setAutoFillBackground(True)
            # Its place is hidden while a bar waits; the bar still knows that it has something to say.
            place = holder(stacked(bar))
            place.hide()
            layout.addWidget(place, 1)
            self._places.append(place)
            bar.installEventFilter(self)
        page.installEventFilter(self)
        # Bars that come and go within one turn of the event loop move the row once.
        self._soon = QTimer(self, singleShot=True)
        self._soon.timeout.connect(self.place)
        self.hide()

    def place(self) -> None:
        """Lie along the foot of the page, as high as the words need; hidden while nothing is said."""
        width = max(self._page.width() - 2 * SIDE_PX, 1)
        free = max(int(width // (LEAST_BAR_PX * max(theme.text_share, 1.0))), 1)
        for bar, place in zip(self._bars, self._places, strict=True):
            shown = not bar.isHidden() and free > 0
            place.setVisible(shown)
            free -= shown
        self.setVisible(any(not bar.isHidden() for bar in self._bars))
        if self.isHidden():
            return
        layout = self.layout()
        assert layout is not None
        layout.activate()
        height = layout.totalHeightForWidth(width) if layout.hasHeightForWidth() else self.sizeHint().height()
        self.setGeometry(SIDE_PX, self._page.height() - height - FOOT_PX, width, height)
        self.raise_()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (
            QEvent.Type.Show,
            QEvent.Type.Hide,
            QEvent.Type.ShowToParent,
            QEvent.Type.HideToParent,
            QEvent.Type.Resize,
            QEvent.Type.LayoutRequest,
        ):
            if watched is self._page or event.type() is not QEvent.Type.Resize:
                self._soon.start(0)
            if event.type() is QEvent.Type.ShowToParent and self.isHidden():
                self.place()
        return False


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


class CrashOffer(MessageBar):
    """After an unexpected end: a sentence, a button that opens again what was open, and one that does not.

    It is seen only when there is an offer, and blocks nothing.
    """

    open_requested = Signal(list)
    demo_requested = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        self.again = button(tr("Open it again"), "", tr("Open what was open when the program ended"))
        super().__init__(self.again, parent)
        self._session = session
        self._place: LastOpened | None = None
        self.again.clicked.connect(self._open_again)

    def offer(self, place: LastOpened | None) -> None:
        """Offer to open this; nothing is said when there is nothing."""
        self._place = place
        if place is not None:
            text = tr("Slopebeat ended unexpectedly; open {name} again?")
            self.text.setText(text.format(name=place.name))
        self.setVisible(place is not None)

    def _open_again(self) -> None:
        place, session = self._place, self._session
        self.hide()
        if place is None:
            return
        if place.library:
            self._open_kept(place)
        elif place.demo:
            self.demo_requested.emit()
        else:
            self.open_requested.emit([Path(path) for path in place.paths])
        if place.index:
            once = Qt.ConnectionType.SingleShotConnection
            session.outing.recordings_changed.connect(lambda: session.outing.choose(place.index), once)

    def _open_kept(self, place: LastOpened) -> None:
        """Open the library, and in it the outing."""
        library = self._session.library

        def show() -> None:
            with suppress(StopIteration):
                library.opened.choose_athlete(place.athlete)
            library.open_outing(place.outing)

        library.opened.opened.connect(show, Qt.ConnectionType.SingleShotConnection)
        if place.demo:
            library.open_demo()
        else:
            library.open(Path(place.library))
