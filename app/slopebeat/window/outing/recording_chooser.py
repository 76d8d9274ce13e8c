"""Which of the recordings that are open is looked at, in the corner of the menu bar."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QMenuBar, QWidget

from slopebeat.model.language import tr
from slopebeat.model.recording import Recording, title_of
from slopebeat.session.session import Session


class RecordingChooser(QWidget):
    """A list of the recordings at hand; hidden while there is only one."""

    def __init__(self, session: Session, bar: QMenuBar) -> None:
        super().__init__()
        self._outing = session.outing
        self._bar = bar
        self.box = QComboBox()
        self.box.setAccessibleName(tr("Recordings that are open"))
        self.box.setToolTip(tr("Which of the recordings that are open is shown"))
        corner = QHBoxLayout(self)
        corner.setContentsMargins(0, 3, 12, 1)
        corner.addWidget(self.box)
        self.hide()
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
        self.setVisible(len(recordings) > 1)
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
