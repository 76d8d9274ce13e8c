"""The week of every athlete: a row each; below it the weeks of one and the sentence for the next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Any

from PySide6.QtCore import QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPlainTextEdit, QTabWidget, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.present.weeks import BOARD_FIGURES, PHASE_FIGURES, WEEK_FIGURES
from slopebeat.review.week.athlete import coming_week
from slopebeat.review.week.board import AthleteWeek
from slopebeat.review.week.words import board_words, edges_sentence
from slopebeat.session.library.acts import Reviewed
from slopebeat.session.session import Session
from slopebeat.session.week import WeekBoard
from slopebeat.window.widgets.parts import REST, button, card, holder, label, row, show_words, stacked
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.splitter import Splitter
from slopebeat.window.widgets.table import RowsTable

PLAN_AFTER_MS = 250
"""A row that was picked so long ago is meant: then its sentence is worked out [project choice]."""

SENTENCE_PX = 420
"""Least width of the sentence for the week to come [project choice]."""


class BoardTable(RowsTable):
    """A row per athlete. Enter opens, left and right go to the week before and after."""

    open_requested = Signal(str)
    """Identity of an athlete."""

    step_wanted = Signal(int)
    picked_changed = Signal()

    def __init__(self) -> None:
        super().__init__(tr("The week of every athlete"), columns_of(BOARD_FIGURES))
        self.nothing = tr("No athlete yet: add one in the library.")
        self.doubleClicked.connect(lambda _: self._open())
        self.selectionModel().selectionChanged.connect(lambda *_: self.picked_changed.emit())

    @property
    def picked(self) -> AthleteWeek | None:
        at = self.picked_row()
        return None if at is None else self.rows.rows[at]

    def show_rows(self, rows: Sequence[AthleteWeek], athlete: str) -> None:
        """Show these, and pick the row of an athlete, else the first."""
        self.set_rows(rows)
        at = next((at for at, each in enumerate(rows) if each.athlete.identity == athlete), 0)
        if rows:
            self.pick(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.step_wanted.emit(1 if event.key() == Qt.Key.Key_Right else -1)
        else:
            super().keyPressEvent(event)

    def _open(self) -> None:
        if self.picked is not None:
            self.open_requested.emit(self.picked.athlete.identity)


class WeekPage(QWidget):
    """Reads the board of the session; where it goes is reported by signals."""

    library_requested = Signal()
    prescription_wanted = Signal(str)
    """Identity of an athlete whose prescriptions, masses and phases are to be seen."""

    letter_wanted = Signal(str, str)
    """Identity of an athlete, and the text of the letter."""

    report_wanted = Signal()
    """The week of everybody is to be saved."""

    message = Signal(str)

    def __init__(self, session: Session, board: WeekBoard, reviewed: Reviewed) -> None:
        """Empty; :meth:`fill` makes what is seen."""
        super().__init__()
        self.setObjectName("page")
        self._session, self._board, self._reviewed = session, board, reviewed
        self._filling = False
        # What is picked is painted first: working out the sentence would hold the painting up.
        self._plan = QTimer(self, interval=PLAN_AFTER_MS, singleShot=True)
        self._plan.timeout.connect(self._ask_for_plan)
        self._athlete = ""

    def fill(self) -> Iterator[None]:
        """Make every part, each in its place; between them the window may take clicks."""
        column = stacked(of=self, margins=(12, 10, 12, 10), spacing=8)
        self._fill_head(column)
        yield
        self.table = BoardTable()
        column.addWidget(self.table, 2)
        below = Splitter(Qt.Orientation.Horizontal)
        column.addWidget(below, 3)
        yield
        self._fill_weeks(below)
        yield
        self._fill_coming(below)
        yield
        below.setStretchFactor(0, 1)
        self._connect()

    def _fill_head(self, column: QVBoxLayout) -> None:
        self.earlier = button(tr("Earlier week"), "", tr("The week before (left arrow in the table)"))
        self.later = button(tr("Later week"), "", tr("The week after (right arrow in the table)"))
        self.now = button(tr("This week"), "", tr("The week that holds today"))
        self.asked = button(tr("Prescriptions and phases…"), "", tr("Dated, of the athlete picked"))
        self.to_library = button(tr("To the library"), "", tr("The list of outings and the months"))
        self.head = label("", "heading")
        parts = (self.earlier, self.head, self.later, self.now, REST, self.asked, self.to_library)
        column.addLayout(row(*parts))

    def _fill_weeks(self, below: Splitter) -> None:
        left, inside = card(0, 4)
        below.addWidget(left)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("Weeks and phases"))
        inside.addWidget(self.tabs, 1)
        self.weeks = RowsTable(tr("The weeks of the athlete"), columns_of(WEEK_FIGURES))
        self.weeks.nothing = tr("No week yet that could be told of.")
        self.weeks.sortByColumn(0, Qt.SortOrder.DescendingOrder)
        self.phases = RowsTable(tr("Phases side by side"), columns_of(PHASE_FIGURES))
        self.phases.nothing = tr("No phase yet: enter blocks, camps and illness with their days.")
        self.edges = label("", "caption", wrap=True)
        self.tabs.addTab(holder(stacked((self.weeks, 1), self.edges)), tr("Weeks"))
        self.tabs.addTab(self.phases, tr("Phases"))

    def _fill_coming(self, below: Splitter) -> None:
        right, inside = card(10, 6)
        below.addWidget(right)
        right.setMinimumWidth(SENTENCE_PX)
        self.coming = label("", "heading")
        self.sentence = QPlainTextEdit()
        self.sentence.setAccessibleName(tr("For the week to come"))
        self.sentence.setTabChangesFocus(True)
        self.again = button(tr("As worked out"), "", tr("Drop what was typed"))
        tip = tr("One page as PDF, HTML or text, with what is typed")
        self.letter = button(tr("Save as a letter…"), "", tip)
        inside.addWidget(self.coming)
        inside.addWidget(self.sentence, 1)
        inside.addLayout(row(self.again, REST, self.letter, spacing=None))
        inside.addWidget(label(tr(CAUTIONS[0]), "caption", wrap=True))

    def _connect(self) -> None:
        steps = self._session.steps
        board, opened = self._board, self._session.library.opened
        self.earlier.clicked.connect(lambda: board.step(-1))
        self.later.clicked.connect(lambda: board.step(1))
        self.now.clicked.connect(board.this_week)
        self.to_library.clicked.connect(self.library_requested)
        self.asked.clicked.connect(self._ask)
        self.table.open_requested.connect(self._open)
        self.table.step_wanted.connect(board.step)
        self.table.picked_changed.connect(self._show_later)
        self.sentence.textChanged.connect(self._typed)
        self.again.clicked.connect(self._drop_typed)
        self.letter.clicked.connect(
            lambda: self.letter_wanted.emit(self._athlete, self.sentence.toPlainText())
        )
        board.planned.connect(self._planned)
        signals = (opened.athlete_changed, self._reviewed.kept, self._session.keeping.saved)
        self._read = RefreshWhenSeen(steps, self, opened.rows_changed, board.load, *signals, stale=True)
        self._drawn = RefreshWhenSeen(steps, self, board.changed, self._show, stale=True)

    def _show(self) -> None:
        board = self._board.board
        sunday = board.monday + timedelta(days=6)
        self.head.setText(board_words(board))
        self.later.setEnabled(sunday < board.today)
        with QSignalBlocker(self.table.selectionModel()):
            self.table.show_rows(board.rows, self._athlete)
        self._show_later()

    def _show_later(self) -> None:
        """The weeks in a turn of their own, after the rows were painted."""
        self._session.steps.later(self._show_athlete)

    def _show_athlete(self) -> None:
        picked = self.table.picked
        for widget in (self.asked, self.sentence, self.again):
            widget.setEnabled(picked is not None)
        if picked is None:
            self.weeks.set_rows(())
            return
        self._athlete = picked.athlete.identity
        self.weeks.set_rows(picked.weeks)
        self.phases.set_rows(picked.phases)
        show_words(self.edges, edges_sentence(picked.week))
        words = tr("{name}, for the week from {day}")
        self.coming.setText(words.format(name=picked.athlete.name, day=coming_week(self._board.board)))
        self._show_sentence()

    def _show_sentence(self) -> None:
        typed = self._board.draft(self._athlete)
        found = self._board.planned_for(self._athlete)
        if found is None:
            self._plan.start()
        worked_out = tr("Being worked out…") if found is None else "\n".join(found.sentences)
        self._filling = True
        if self.sentence.toPlainText() != (typed or worked_out):
            self.sentence.setPlainText(typed or worked_out)
        self._filling = False
        self.again.setEnabled(typed is not None)
        self.letter.setEnabled(found is not None)

    def _ask_for_plan(self) -> None:
        if self._athlete:
            self._board.plan(self._athlete)

    def _planned(self, athlete: str) -> None:
        if athlete == self._athlete:
            self._show_sentence()

    def _typed(self) -> None:
        if not self._filling and self._athlete:
            self._board.keep_draft(self._athlete, self.sentence.toPlainText())
            self.again.setEnabled(True)

    def _drop_typed(self) -> None:
        self._board.keep_draft(self._athlete, None)
        self._show_sentence()

    def save_shown(self) -> bool:
        """Save the week of every athlete; False while there is none."""
        there = bool(self._board.board.rows)
        if there:
            self.report_wanted.emit()
        return there

    def _open(self, athlete: str) -> None:
        if not self._board.open(athlete):
            self.message.emit(tr("This week holds no outing of this athlete."))

    def _ask(self) -> None:
        if self._athlete:
            self.prescription_wanted.emit(self._athlete)

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.table.setFocus()
