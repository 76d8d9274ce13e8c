"""What can be done with the outings that are selected in the list, for all of them at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtWidgets import QInputDialog, QLineEdit, QMenu, QWidget

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.notes import SPORTS
from slopebeat.model.people import Athlete
from slopebeat.review.present.listed import name_of
from slopebeat.review.words.names import key_name
from slopebeat.session.library.rows import OutingRow
from slopebeat.session.session import Session
from slopebeat.window.widgets.dialog_parts import Question


class TitleDialog:
    """One title for several outings."""

    @staticmethod
    def ask(parent: QWidget, title: str, count: int) -> str | None:
        """What was typed; None when it was cancelled."""
        words = trn("Title of {n} outing", "Title of {n} outings", count).format(n=count)
        usual = QLineEdit.EchoMode.Normal
        typed, kept = QInputDialog.getText(parent, tr("Change the title"), words, usual, title)
        return typed if kept else None


class PickedMenu(QMenu):
    """Made anew each time it is asked for. What it does is taken back by undo or in the menu itself."""

    def __init__(self, view: QWidget, session: Session, rows: Sequence[OutingRow]) -> None:
        super().__init__(view)
        self._view, self._session, self._rows = view, session, tuple(rows)
        self._picked = tuple(row.outing.identity for row in rows)
        if len(self._picked) > 1:
            self.addAction(tr("Open together"), partial(session.library.open_outing, *self._picked))
        self._add_parts()
        self.addAction(tr("Change the title…"), self._change_title)
        self._add_sports()
        self._add_athletes()
        self.addSeparator()
        teaches = any(row.teaches for row in rows)
        name = tr("Leave out of what is learnt") if teaches else tr("Let teach again")
        opened = session.library.opened
        self.addAction(name, partial(opened.set_teaches, self._picked, not teaches))

    def _add_parts(self) -> None:
        """Outings that are parts of one day, or are to be."""
        days = {row.day for row in self._rows}
        joins = self._session.joins
        if len(self._picked) > 1 and (None in days or len(days) > 1):
            self.addAction(tr("Make one outing of them"), partial(self._join, joins.join))
        if days != {None}:
            apart = tr("Keep apart from the other parts")
            self.addAction(apart, partial(self._join, joins.keep_apart))

    def _join(self, act: Callable[[tuple[str, ...]], None]) -> None:
        try:
            act(self._picked)
        except UserError as problem:
            self._session.library.failed.emit(str(problem))

    def _add_sports(self) -> None:
        sports = self.addMenu(tr("What was done"))
        said = {row.outing.sport for row in self._rows}
        author, put = self._session.notes.author, self._session.library.corrections.set_sport
        for sport in SPORTS:
            action = sports.addAction(key_name(sport), partial(put, self._picked, sport, author))
            action.setCheckable(True)
            action.setChecked(said == {str(sport)})
        sports.addSeparator()
        sports.addAction(tr("As the file says"), partial(put, self._picked, None, author))

    def _add_athletes(self) -> None:
        opened = self._session.library.opened
        here, menu = opened.athlete, self.addMenu(tr("Give to another athlete"))
        others = [] if here is None else [each for each in opened.athletes if each.identity != here.identity]
        menu.setEnabled(bool(others))
        if here is None:
            return
        for other in others:
            menu.addAction(other.name.replace("&", "&&"), partial(self._move, here, other))

    def _change_title(self) -> None:
        titles = {name_of(row.outing) for row in self._rows}
        typed = TitleDialog.ask(self._view, titles.pop() if len(titles) == 1 else "", len(self._rows))
        if typed is not None:
            self._session.library.corrections.set_titles(self._picked, typed)

    def _move(self, gone: Athlete, into: Athlete) -> None:
        people, title = self._session.library.people, tr("Give to another athlete")

        def ask(words: str) -> None:
            if Question.ask(self._view, title, words, tr("Give them")):
                people.move(self._picked, into)

        people.ask_move(self._picked, gone, into, ask)
