"""Dialogs: never higher than the screen, never left while something is being kept, asking before taking away.

The keys of the main window do not reach into a dialog.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QMessageBox,
    QScrollArea,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from slopebeat.model.language import tr
from slopebeat.window.widgets.parts import GrowingPage, Part, label, scroll_down, show_words, stacked

if TYPE_CHECKING:
    from slopebeat.model.people import BandPeriod
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.undo import History

TITLE_PX = 36
"""Kept free for the title bar, whose height is known only once it is shown [project choice]."""


def room_px(widget: QWidget) -> QSize:
    """The size a window may have on its screen, without the title bar; the whole world without a screen."""
    screen = widget.screen()
    if screen is None:
        return QSize(1 << 20, 1 << 20)
    return screen.availableSize() - QSize(0, TITLE_PX)


def close_only(dialog: QDialog) -> QDialogButtonBox:
    """The button under a dialog that only says something."""
    box = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    box.button(QDialogButtonBox.StandardButton.Close).setText(tr("Close"))
    box.rejected.connect(dialog.reject)
    return box


SIDE_PX, HEAD_PX, FOOT_PX = 20, 18, 14
"""Around the content [project choice]."""


class ScrollingDialog(QDialog):
    """Subclasses fill ``content``, which scrolls, and ``foot``, which does not."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.usual_px = QSize()
        page = GrowingPage()
        self.content = stacked(of=page, margins=(SIDE_PX, HEAD_PX, SIDE_PX, 0), spacing=8)
        self.area = scroll_down(QScrollArea(), inside=page)
        self.foot = stacked(margins=(SIDE_PX, 0, SIDE_PX, FOOT_PX))
        stacked((self.area, 1), self.foot, of=self, spacing=12)

    def sizeHint(self) -> QSize:
        """As large as the content wants to be, or as the dialog is usually; no larger than the screen."""
        bar_px = self.area.verticalScrollBar().sizeHint().width()
        least_px = max(self.minimumWidth(), self.content.minimumSize().width() + bar_px)
        width = max(self.usual_px.width(), self.content.sizeHint().width() + bar_px, least_px)
        width = min(width, room_px(self).width())
        inside_px = self.content.sizeHint().height()
        if self.content.hasHeightForWidth():
            inside_px = self.content.totalHeightForWidth(width - bar_px)
        layout = self.layout()
        assert layout is not None
        height = inside_px + layout.spacing() + self.foot.sizeHint().height()
        return QSize(width, max(height, self.usual_px.height())).boundedTo(room_px(self))

    def showEvent(self, event: QShowEvent) -> None:
        """Open in the size that was asked for, on the screen it opens on."""
        self.area.setMinimumWidth(
            self.content.minimumSize().width() + self.area.verticalScrollBar().sizeHint().width()
        )
        self.resize(self.sizeHint())
        self.area.setAccessibleName(self.windowTitle())
        super().showEvent(event)


T = TypeVar("T")

Keep = Callable[[T, Callable[[], None], Callable[[str], None]], None]
"""Takes what was entered, what to do once it is kept, and what to do with the sentence that refuses it."""


class EntryDialog(ScrollingDialog):
    """Saves with ``keep``; meanwhile it can neither be saved again nor left."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._waiting = False
        self.problem = label("", "problem", wrap=True)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Save | kinds.Cancel)
        self.buttons.button(kinds.Save).setText(tr("Save"))
        self.buttons.button(kinds.Cancel).setText(tr("Cancel"))
        self.buttons.accepted.connect(self.save)
        self.buttons.rejected.connect(self.reject)
        self.foot.addWidget(self.problem)
        self.foot.addWidget(self.buttons)

    def save(self) -> None:
        """Keep what was entered, with :meth:`keep_entry`."""
        raise NotImplementedError

    def keep_entry(self, keep: Keep[T], entry: T) -> None:
        """Ask for this to be kept, and close once it is."""
        self._wait(True)
        keep(entry, self._kept, self._refused)

    def reject(self) -> None:
        """Stay while what was entered is being kept: it may still be refused, and would be lost."""
        if not self._waiting:
            super().reject()

    def _kept(self) -> None:
        self._wait(False)
        self.accept()

    def _refused(self, sentence: str) -> None:
        self._wait(False)
        show_words(self.problem, sentence)

    def _wait(self, waiting: bool) -> None:
        self._waiting = waiting
        self.buttons.setEnabled(not waiting)


class Question:
    """One question with two answers; what is chosen without looking changes nothing."""

    @staticmethod
    def ask(parent: QWidget, title: str, words: str, act: str) -> bool:
        """Whether to do it; ``act`` names it on its button."""
        box = QMessageBox(QMessageBox.Icon.Question, title, words, parent=parent)
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.addButton(act, QMessageBox.ButtonRole.AcceptRole)
        leave = box.addButton(tr("Cancel"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(leave)
        box.setEscapeButton(leave)
        box.exec()
        return box.clickedButton() is not leave


def undo_keys(dialog: QDialog, history: History) -> None:
    """Take back and do again with the usual keys while the dialog is open."""
    keys = QKeySequence.StandardKey
    for key, act in ((keys.Undo, history.undo), (keys.Redo, history.redo)):
        QShortcut(QKeySequence(key), dialog, act)


class RowsDialog(QDialog):
    """Rows of texts of which one is picked and none is typed, what can be done with it, and a way out."""

    def __init__(self, parent: QWidget | None, title: str, name: str, headers: Sequence[str]) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.table = QTableWidget(0, len(headers))
        self.table.setAccessibleName(name)
        self.table.setHorizontalHeaderLabels(list(headers))
        self.table.verticalHeader().hide()
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)

    @classmethod
    def ask(cls, *about: Any) -> None:
        """Open it with what it is made of, and throw it away once it is closed."""
        made = cls(*about)
        made.exec()
        made.deleteLater()

    def lay_out(self, size_px: tuple[int, int], *below: Part, spacing: int = 12) -> None:
        """Place the table and what stands below it."""
        margins = (SIDE_PX, HEAD_PX, SIDE_PX, FOOT_PX)
        stacked((self.table, 1), *below, close_only(self), of=self, margins=margins, spacing=spacing)
        self.resize(QSize(*size_px).boundedTo(room_px(self)))

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        self.table.setRowCount(len(rows))
        for at, words in enumerate(rows):
            for number, text in enumerate(words):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                self.table.setItem(at, number, item)

    def picked_row(self) -> int | None:
        """Number of the row that is picked."""
        rows = self.table.selectionModel().selectedRows()
        return rows[0].row() if rows else None


def keep_band(
    parent: QWidget,
    session: LibrarySession,
    period: BandPeriod,
    edited: BandPeriod | None = None,
    on_kept: Callable[[], None] | None = None,
    on_refused: Callable[[str], None] | None = None,
) -> None:
    """Keep a band of the athlete looked at, in the place of ``edited`` where there is one.

    A day that has one already is asked about, never silently taken.
    """
    from slopebeat.review.bands import same_day, taken_words  # Of the library: not needed at the start.

    others = [each for each in session.opened.periods if each != edited]
    there = same_day(others, period)
    gone = [each for each in (edited, there) if each is not None]
    if there is not None and not Question.ask(
        parent,
        tr("A band is there already"),
        " ".join((taken_words(there), tr("Put {band} in its place?").format(band=period.band))),
        tr("Replace it"),
    ):
        if on_refused is not None:
            on_refused(tr("Nothing was changed; another day or ground is free."))
        return
    session.entries.put_band(period, on_kept, on_refused, gone)
