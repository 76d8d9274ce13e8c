"""What can be done with the selected outings, all at once: a menu, and a question before they are removed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QInputDialog, QLineEdit, QMenu, QWidget

from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.notes import SPORTS
from slopebeat.model.people import Athlete
from slopebeat.model.recording import shown_title
from slopebeat.review.notes.keeping import WrittenCount, written_on
from slopebeat.review.present.listed import name_of
from slopebeat.review.words.names import key_name
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.library.rows import OutingRow
from slopebeat.session.session import Session
from slopebeat.window.widgets.dialogs import Question
from slopebeat.window.widgets.parts import button, label, row


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
        self._picked = tuple(each.outing.identity for each in rows)
        if len(self._picked) > 1:
            self.addAction(tr("Open together"), partial(session.library.open_outing, *self._picked))
        self._add_parts()
        self.addAction(tr("Change the title…"), self._change_title)
        self._add_sports()
        self._add_athletes()
        self.addSeparator()
        teaches = any(each.teaches for each in rows)
        name = tr("Leave out of what is learnt") if teaches else tr("Let teach again")
        opened = session.library.opened
        self.addAction(name, partial(opened.set_teaches, self._picked, not teaches))

    def _add_parts(self) -> None:
        """Outings that are parts of one day, or are to be."""
        days = {each.day for each in self._rows}
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
        said = {each.outing.sport for each in self._rows}
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
        titles = {name_of(each.outing) for each in self._rows}
        typed = TitleDialog.ask(self._view, titles.pop() if len(titles) == 1 else "", len(self._rows))
        if typed is not None:
            self._session.library.corrections.set_titles(self._picked, typed)

    def _move(self, gone: Athlete, into: Athlete) -> None:
        people, title = self._session.library.people, tr("Give to another athlete")

        def ask(words: str) -> None:
            if Question.ask(self._view, title, words, tr("Give them")):
                people.move(self._picked, into)

        people.ask_move(self._picked, gone, into, ask)


LAST_WORD = mark("This cannot be undone; the files you imported stay where they are.")


class RemovalBar(QFrame):
    """A question over the list; nothing is removed until it is answered."""

    def __init__(self, library: LibrarySession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._library = library
        self._wanted: tuple[str, ...] = ()
        self._whose: Athlete | None = None
        self.text = label("", wrap=True)
        self.text.setAccessibleName(tr("What would be removed"))
        self.remove = button(tr("Remove"), "", tr("Remove them for good"))
        self.leave = button(tr("Leave them"), "primary", tr("Remove nothing"))
        row((self.text, 1), self.leave, self.remove, of=self, margins=(14, 8, 14, 8))
        self.remove.clicked.connect(self._remove)
        self.leave.clicked.connect(self.drop)
        library.opened.athlete_changed.connect(self._look_again)
        self.hide()

    def ask(self, identities: tuple[str, ...]) -> None:
        """Ask about these outings; none asks nothing."""
        self._wanted, self._whose = identities, self._library.opened.athlete
        if not identities:
            self.hide()
            return
        self.text.setText(f"{self._question()} {tr('Looking for what was written on them…')}")
        self.remove.setEnabled(False)
        self.show()
        self.leave.setFocus()

        def show(written: WrittenCount) -> None:
            if self._wanted == identities:
                self.text.setText(" ".join((self._question(), *_losses(written), tr(LAST_WORD))))
                self.remove.setEnabled(True)

        self._library.opened.ask(lambda library: written_on(library, identities), show, self._refused)

    def drop(self) -> None:
        """Ask no more."""
        self._wanted = ()
        self.hide()

    def event(self, event: QEvent) -> bool:
        """Escape means this question while it has the focus, whatever it is a shortcut for elsewhere."""
        asked = event.type() == QEvent.Type.ShortcutOverride
        if asked and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.drop()
            return
        super().keyPressEvent(event)

    def _look_again(self) -> None:
        """Another athlete is no time for this question; work that ends is."""
        now = self._library.opened.athlete
        if self._whose is None or now is None or now.identity != self._whose.identity:
            self.drop()

    def _refused(self, sentence: str) -> None:
        """What would be lost cannot be said, so that nobody is asked."""
        self.drop()
        self._library.failed.emit(sentence)

    def _question(self) -> str:
        count = len(self._wanted)
        outings = {each.outing.identity: each.outing for each in self._library.opened.rows}
        chosen = [outings[identity] for identity in self._wanted if identity in outings]
        return trn(
            "Remove {n} outing, {names}, with the recording that is kept of it?",
            "Remove {n} outings, {names}, with the recordings that are kept of them?",
            count,
        ).format(n=count, names=_names([shown_title(outing.title, outing.file_name) for outing in chosen]))

    def _remove(self) -> None:
        wanted = self._wanted
        self.drop()
        self._library.opened.remove_outings(wanted)


def _losses(written: WrittenCount) -> list[str]:
    """What is lost of what was written and decided, in sentences."""
    sentences = []
    if written.notes:
        lost = trn("{n} note on them is lost.", "{n} notes on them are lost.", written.notes)
        sentences.append(lost.format(n=written.notes))
    if written.decided:
        lost = trn(
            "What was decided on doubted stretches of {n} outing is lost.",
            "What was decided on doubted stretches of {n} outings is lost.",
            written.decided,
        )
        sentences.append(lost.format(n=written.decided))
    return sentences


def _names(titles: list[str]) -> str:
    """The first titles, the rest by their number."""
    shown = ", ".join(f"“{title}”" for title in titles[:3])
    return shown if len(titles) <= 3 else tr("{names} and {n} more").format(names=shown, n=len(titles) - 3)
