"""The bands of an athlete over time: added, opened again and mended, and removed once that was asked."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.people import BandPeriod, Ground
from slopebeat.review.bands import back_to_first, removal_words, whole_basis
from slopebeat.review.words.basis import how_words
from slopebeat.review.words.names import key_name
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.library.band.finder import BandFinder
from slopebeat.window.widgets.dialogs import Question, RowsDialog, keep_band, undo_keys
from slopebeat.window.widgets.parts import button, label, row

HEADERS = (mark("For outings"), mark("In force"), mark("Band"), mark("How it was found"))
WIDTHS_PX = (120, 230, 110, 420)


def in_force(period: BandPeriod, periods: tuple[BandPeriod, ...]) -> str:
    """From which day to which; the next period of the same ground ends one."""
    later = [p.from_day for p in periods if p.ground is period.ground and p.from_day > period.from_day]
    if later:
        return tr("{first} to before {last}").format(first=period.from_day, last=min(later))
    return tr("from {first} on").format(first=period.from_day)


class BandsDialog(RowsDialog):
    """Adds, mends and removes bands; the outings they cover are reviewed again in the background."""

    def __init__(self, parent: QWidget | None, session: LibrarySession) -> None:
        headers = [tr(header) for header in HEADERS]
        super().__init__(parent, tr("Bands in force"), tr("Bands in force over time"), headers)
        self._session = session
        for at, width in enumerate(WIDTHS_PX):
            self.table.setColumnWidth(at, width)
        self.add = button(tr("Add a band…"), "primary")
        self.change = button(
            tr("Open and change…"), "", tr("See how the selected band was found, and mend it (Enter)")
        )
        self.remove = button(tr("Remove…"), "", tr("The band before it stays in force instead (Del)"))
        self.back = button(
            tr("From the first outing on"), "", tr("Count outings before the first band with it, too")
        )
        self.note = label(
            tr("A change reviews the outings it covers again, in the background. Ctrl+Z takes it back."),
            "caption",
            wrap=True,
        )
        self.whole = label("", "detail", tr("How the selected band was found"), wrap=True)
        self.problem = label("", "problem", wrap=True)
        buttons = row(self.add, self.change, self.remove, self.back)
        self.lay_out((860, 480), self.whole, buttons, self.note, self.problem)
        self._connect()
        self._show()

    def _connect(self) -> None:
        self.add.clicked.connect(self._add)
        self.change.clicked.connect(self._change)
        self.table.doubleClicked.connect(self._change)
        self.remove.clicked.connect(self._remove)
        undo_keys(self, self._session.history)
        keys = QKeySequence.StandardKey
        here = Qt.ShortcutContext.WidgetShortcut
        for key, act in ((keys.Delete, self._remove), (keys.InsertParagraphSeparator, self._change)):
            QShortcut(QKeySequence(key), self.table, act, context=here)
        self.back.clicked.connect(self._reach_back)
        self._session.opened.athlete_changed.connect(self._show)
        self.table.itemSelectionChanged.connect(self._picked)

    def _periods(self) -> tuple[BandPeriod, ...]:
        grounds = list(Ground)
        return tuple(
            sorted(self._session.opened.periods, key=lambda p: (grounds.index(p.ground), p.from_day))
        )

    def _show(self) -> None:
        self.problem.clear()
        periods = self._periods()
        self.show_rows(
            [(key_name(p.ground), in_force(p, periods), str(p.band), how_words(p.band)) for p in periods]
        )
        self._picked()

    def _chosen(self) -> BandPeriod | None:
        at = self.picked_row()
        return None if at is None else self._periods()[at]

    def _picked(self) -> None:
        chosen = self._chosen()
        for each in (self.remove, self.change):
            each.setEnabled(chosen is not None)
        first = next((p for p in self._periods() if chosen and p.ground is chosen.ground), None)
        self.whole.setText("" if chosen is None else whole_basis(chosen.band))
        self.back.setEnabled(chosen is not None and first == chosen)

    def _add(self) -> None:
        athlete = self._session.opened.athlete
        assert athlete is not None
        BandFinder.ask(self, athlete, self._keep)

    def _change(self) -> None:
        athlete, chosen = self._session.opened.athlete, self._chosen()
        if athlete is not None and chosen is not None:
            BandFinder.ask(self, athlete, partial(self._keep, edited=chosen), chosen)

    def _keep(
        self,
        period: BandPeriod,
        on_kept: Callable[[], None],
        on_refused: Callable[[str], None],
        edited: BandPeriod | None = None,
    ) -> None:
        keep_band(self, self._session, period, edited, on_kept, on_refused)

    def _reach_back(self) -> None:
        first = self._chosen()

        def move(earlier: BandPeriod | None) -> None:
            if first is not None and earlier is not None:
                self._session.entries.put_band(earlier, None, self.problem.setText, (first,))

        if first is not None:
            refused = self.problem.setText
            self._session.opened.ask(lambda library: back_to_first(library, first), move, refused)

    def _remove(self) -> None:
        gone = self._chosen()
        if gone is None:
            return

        def ask(words: str) -> None:
            if Question.ask(self, tr("Remove a band"), words, tr("Remove")):
                self._session.entries.exchange(gone.athlete, (gone,), (), None, self.problem.setText)

        refused = self.problem.setText
        self._session.opened.ask(lambda library: removal_words(library, gone), ask, refused)
