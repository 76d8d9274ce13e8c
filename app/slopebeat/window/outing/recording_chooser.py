"""Which of the recordings that are open is looked at, in the corner of the menu bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QCheckBox, QMenuBar, QWidget

from slopebeat.model.language import tr
from slopebeat.model.recording import Recording, title_of
from slopebeat.window.widgets.boxes import choice_box
from slopebeat.window.widgets.parts import row

if TYPE_CHECKING:
    from slopebeat.session.library.acts import Reviewed
    from slopebeat.session.session import Session


class RecordingChooser(QWidget):
    """The tick of an outing a library keeps, and a list of the recordings at hand where there are several."""

    def __init__(self, session: Session, reviewed: Reviewed, bar: QMenuBar) -> None:
        super().__init__()
        self._outing = session.outing
        self._bar = bar
        which = tr("Which of the recordings that are open is shown")
        self.box = choice_box(tr("Recordings that are open"), which)
        self.reviewed = QCheckBox(tr("Reviewed"))
        self.reviewed.setToolTip(tr("Ticked off: Ctrl+Shift+J, or with Ctrl+J on to the next of the week"))
        row(self.reviewed, self.box, of=self, margins=(0, 3, 12, 1), spacing=None, stretch_last=True)
        self.hide()
        self._tick = reviewed
        self._tick.changed.connect(self._fill)
        self.reviewed.clicked.connect(self._tick.tick)
        bar.setCornerWidget(self)
        self.box.activated.connect(session.outing.choose)
        session.outing.recordings_changed.connect(self._fill)
        session.outing.reviewed.connect(self._follow)
        session.outing.reviewed.connect(self._name)

    def _fill(self) -> None:
        recordings = self._outing.recordings
        self.box.clear()
        for recording in recordings:
            self.box.addItem(_named(recording))
        self._follow()
        self.box.setVisible(len(recordings) > 1)
        self.reviewed.setVisible(bool(self._tick.outing))
        self.reviewed.setChecked(self._tick.moment is not None)
        self.setVisible(len(recordings) > 1 or bool(self._tick.outing))
        # The menu bar makes room for its corner only when it is set anew.
        self._bar.setCornerWidget(self)

    def _follow(self) -> None:
        self.box.setCurrentIndex(self._outing.index)

    def _name(self) -> None:
        at, review = self._outing.index, self._outing.review
        if review is not None and 0 <= at < self.box.count():
            # In the time zone that was put right.
            self.box.setItemText(at, _named(review.recording))


def _named(recording: Recording) -> str:
    return f"{title_of(recording)}, {recording.start_text}"
