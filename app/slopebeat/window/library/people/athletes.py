"""Everybody in the library with what is kept of them: edited, made one, and removed."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize
from PySide6.QtWidgets import (
    QDialog,
    QMenu,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from slopebeat.library.store import Library
from slopebeat.library.transfer import Belongings
from slopebeat.model.language import mark, tr
from slopebeat.model.people import Athlete
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.library.people.athlete_dialog import AthleteDialog
from slopebeat.window.widgets.dialog_parts import Question, rows_to_pick
from slopebeat.window.widgets.parts import button, close_only, label, row
from slopebeat.window.widgets.screen import room_px

HEADERS = (mark("Name"), mark("Outings"), mark("Notes"), mark("Bands"))
WIDTHS_PX = (300, 90, 90, 90)

Kept = tuple[tuple[Athlete, Belongings], ...]


class AthletesDialog(QDialog):
    """What takes something away is asked first, with what goes and what falls away."""

    def __init__(self, parent: QWidget | None, session: LibrarySession) -> None:
        super().__init__(parent)
        self._session = session
        self._kept: Kept = ()
        self.setWindowTitle(tr("Athletes"))
        self.table = rows_to_pick(
            tr("Athletes of the library"), [tr(header) for header in HEADERS], WIDTHS_PX
        )
        self.add = button(tr("Add an athlete…"), "primary")
        self.edit = button(tr("Edit…"), "", tr("Name, prescription and masses"))
        self.merge = button(tr("Make one with"), "", tr("Everything of the selected athlete goes to another"))
        self.merge.setMenu(QMenu(self.merge))
        self.remove = button(tr("Remove…"), "", tr("Remove the selected athlete with everything"))
        self.notice = label("", "caption", wrap=True)
        buttons = close_only()
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 14)
        layout.setSpacing(12)
        layout.addWidget(self.table, 1)
        layout.addLayout(row(self.add, self.edit, self.merge, self.remove))
        layout.addWidget(self.notice)
        layout.addWidget(buttons)
        self.resize(QSize(640, 420).boundedTo(room_px(self)))
        self._connect()
        self._read()

    def _connect(self) -> None:
        self.add.clicked.connect(lambda: AthleteDialog.ask(self, None, self._session.put_athlete))
        self.edit.clicked.connect(self._edit)
        self.table.doubleClicked.connect(self._edit)
        self.remove.clicked.connect(self._remove)
        self.table.itemSelectionChanged.connect(self._picked)
        self._session.failed.connect(self.notice.setText)
        self._session.opened.athlete_changed.connect(self._read)

    @classmethod
    def ask(cls, parent: QWidget, session: LibrarySession) -> None:
        made = cls(parent, session)
        made.exec()
        made.deleteLater()

    def _read(self) -> None:
        self._session.opened.ask(_kept, self._fill, self.notice.setText)

    def _fill(self, kept: Kept) -> None:
        before = self._chosen()
        self._kept = kept
        self.table.setRowCount(len(kept))
        for at, (athlete, what) in enumerate(kept):
            words = (athlete.name, *(str(n) for n in (what.outings, what.notes, what.bands)))
            for column, text in enumerate(words):
                self.table.setItem(at, column, QTableWidgetItem(text))
            if before is not None and before.identity == athlete.identity:
                self.table.selectRow(at)
        self._picked()

    def _chosen(self) -> Athlete | None:
        rows = self.table.selectionModel().selectedRows()
        at = rows[0].row() if rows else len(self._kept)
        return self._kept[at][0] if at < len(self._kept) else None

    def _picked(self) -> None:
        chosen = self._chosen()
        for each in (self.edit, self.merge, self.remove):
            each.setEnabled(chosen is not None)
        others = [each for each, _ in self._kept if chosen is not None and each.identity != chosen.identity]
        self.merge.setEnabled(bool(others))
        menu = self.merge.menu()
        menu.clear()
        for other in others:
            menu.addAction(other.name.replace("&", "&&"), partial(self._merge, other))

    def _edit(self) -> None:
        chosen = self._chosen()
        if chosen is not None:
            AthleteDialog.ask(self, chosen, self._session.put_athlete)

    def _merge(self, into: Athlete) -> None:
        gone, people = self._chosen(), self._session.people
        if gone is None:
            return

        def ask(words: str) -> None:
            notice = " ".join((words, tr("This cannot be undone.")))
            if Question.ask(self, tr("Make two athletes one"), notice, tr("Make them one")):
                people.merge(gone, into)

        people.ask_merge(gone, into, ask)

    def _remove(self) -> None:
        gone, people = self._chosen(), self._session.people
        if gone is None:
            return

        def ask(words: str) -> None:
            notice = " ".join(
                (words, tr("This cannot be undone; the files you imported stay where they are."))
            )
            if Question.ask(self, tr("Remove an athlete"), notice, tr("Remove")):
                people.remove(gone)

        people.ask_removal(gone, ask)


def _kept(library: Library) -> Kept:
    return tuple((each, library.transfers.belongings(each.identity)) for each in library.athletes)
