"""What dialogs share: a question before something is taken away, and the keys of undo.

The keys of the main window do not reach into a dialog.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QAbstractItemView, QDialog, QMessageBox, QTableWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.model.people import BandPeriod
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.undo import History


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


def rows_to_pick(name: str, headers: Sequence[str], widths_px: Sequence[int]) -> QTableWidget:
    """A table of texts of which one row is picked and nothing is typed."""
    table = QTableWidget(0, len(headers))
    table.setAccessibleName(name)
    table.setHorizontalHeaderLabels(list(headers))
    table.verticalHeader().hide()
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    for column, width in enumerate(widths_px):
        table.setColumnWidth(column, width)
    return table


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
