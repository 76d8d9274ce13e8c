"""Progress of long work on the library."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.window.widgets.notices import WaitingBar

if TYPE_CHECKING:
    from slopebeat.session.library.work import LibraryWork

LONGEST_NAME = 60
"""Characters of a file's name shown beside the bar [project choice]."""


class WorkBar(WaitingBar):
    """What is under way, how far it is, and a button to stop it."""

    def __init__(self, work: LibraryWork, parent: QWidget | None = None) -> None:
        hint = tr("Stop; what is done stays, and the same again goes on from there.")
        super().__init__(tr("Progress of work on the library"), hint, parent)
        self._words = ""
        self.stop.clicked.connect(work.cancel)
        work.started.connect(self._start)
        work.progressed.connect(self._progress)
        work.ended.connect(self._end)

    def _start(self, words: str) -> None:
        self._words = words
        self.text.setText(f"{words}…")
        self.progress.setRange(0, 0)
        self._late.start()

    def _progress(self, done: int, total: int, name: str) -> None:
        self.progress.setRange(0, max(total, 1))
        self.progress.setValue(done)
        file = f"  ·  {name[-LONGEST_NAME:]}" if name and done < total else ""
        so_far = tr("{work}: {done} of {total}").format(work=self._words, done=done, total=total)
        self.text.setText(f"{so_far}{file}")
