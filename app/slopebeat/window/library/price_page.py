"""What ground costs: the table and its picture, and beside them the letter of the week."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QPlainTextEdit,
    QScrollArea,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete
from slopebeat.model.units import duration
from slopebeat.plots.colours import Colours
from slopebeat.report.shapes import Scene
from slopebeat.report.words import file_name
from slopebeat.review.cautions import cautions
from slopebeat.review.help.explanations import hint
from slopebeat.review.months.changes import LeftOut
from slopebeat.review.present.figure import On, shown_on
from slopebeat.review.present.listed import name_of
from slopebeat.review.present.price import AIMED, AS_USUAL, PRICE_FIGURES
from slopebeat.review.price.athlete import AthletePrice
from slopebeat.review.price.gap import gap_sentences
from slopebeat.review.price.grounds import Price, price_outings
from slopebeat.review.price.words import price_sentences
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.steps import Steps
from slopebeat.window.library.left_out import LeftOutDialog
from slopebeat.window.widgets.boxes import enter, entered, not_edited, optional_box
from slopebeat.window.widgets.page_file import save_letter
from slopebeat.window.widgets.parts import REST, GrowingPage, button, label, row, scroll_down, stacked
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.scene_picture import ScenePicture
from slopebeat.window.widgets.table import row_height

LEAST_LETTER_PX, LETTER_PX = 280, 380
"""Width of the letter beside the table, a third of the page between these [project choice]."""

MISSING_MIN = (0, 2000)
"""More minutes in band are missing to nobody [project choice]."""


class LetterBox(QWidget):
    """The text of the letter, to be changed and saved; what was typed is kept until another athlete comes."""

    def __init__(self, session: LibrarySession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._suggested = ""
        self._athlete: Athlete | None = None
        # One under none stands for what is missing this week.
        self.missing = optional_box(
            tr("Minutes missing"),
            MISSING_MIN,
            " min",
            tr("as counted this week"),
            tr("Minutes in band the letter plans for"),
        )
        self.missing.setKeyboardTracking(False)
        self.text = QPlainTextEdit()
        self.text.setAccessibleName(tr("Text of the letter"))
        self.text.setTabChangesFocus(True)
        self.suggest = button(tr("Suggest anew"), "", tr("Replace the text by what the figures say now"))
        self.save = button(tr("Save the letter…"), "primary", tr("One page as PDF, HTML or text"))
        self.done = label("", "caption", wrap=True)
        title, named = label(tr("Letter to the athlete"), "heading"), label(tr("Minutes missing"))
        acts = row(self.save, self.suggest)
        stacked(title, row(named, self.missing), (self.text, 1), acts, self.done, of=self, spacing=6)
        self.missing.valueChanged.connect(self._state_missing)
        self.suggest.clicked.connect(self._suggest)
        self.save.clicked.connect(self.save_letter)
        self.text.textChanged.connect(self._show_state)

    @property
    def typed(self) -> bool:
        """Whether a hand changed the text."""
        return self.text.toPlainText() != self._suggested

    def show_price(self, price: AthletePrice) -> None:
        other = self._athlete is None or self._athlete.identity != price.athlete.identity
        kept, self._athlete = self.typed and not other, price.athlete
        if other:
            self.done.clear()
            with not_edited(self.missing):
                enter(self.missing, None)
        self._suggested = price.text
        if not kept:
            self._suggest()
        self._show_state()

    def _suggest(self) -> None:
        self.text.setPlainText(self._suggested)

    def _show_state(self) -> None:
        self.suggest.setEnabled(self.typed)
        self.save.setEnabled(bool(self.text.toPlainText().strip()))

    def _state_missing(self) -> None:
        minutes = entered(self.missing)
        self._session.price.set_missing(None if minutes is None else 60.0 * minutes)

    def save_letter(self) -> None:
        """Ask where, and write the letter there."""
        price = self._session.price.latest
        if price is None:
            return
        name = file_name(f"{price.price.day} {price.athlete.name}", ".pdf", otherwise="letter")
        letter = price.letter(self.text.toPlainText())
        save_letter(self, self._session.background, name, letter, self.done.setText)


COLUMNS = shown_on(On.WINDOW, PRICE_FIGURES)
LENGTHS = (AS_USUAL.key, AIMED.key)


class PriceTable(QTableWidget):
    """A row for each kind of ground, as high as its rows."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self.setAccessibleName(tr("What ground costs"))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for at, figure in enumerate(COLUMNS):
            # Lengths with their intervals take what is left, in two lines where it is little.
            long = figure.key in LENGTHS
            mode = QHeaderView.ResizeMode.Stretch if long else QHeaderView.ResizeMode.ResizeToContents
            header.setSectionResizeMode(at, mode)
            item = QTableWidgetItem(figure.header)
            item.setToolTip(tr(figure.line))
            item.setTextAlignment(_side(figure.kind.words))
            self.setHorizontalHeaderItem(at, item)

    def show_price(self, price: Price) -> None:
        self.setRowCount(len(price.rows))
        for line, priced in enumerate(price.rows):
            for at, figure in enumerate(COLUMNS):
                item = QTableWidgetItem(figure.text_of(line, priced))
                item.setTextAlignment(_side(figure.kind.words))
                self.setItem(line, at, item)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fit()

    def _fit(self) -> None:
        """Rows as high as their words need, and the table as high as its rows."""
        self.resizeRowsToContents()
        for line in range(self.rowCount()):
            self.setRowHeight(line, max(self.rowHeight(line), row_height(self)))
        rows = sum(self.rowHeight(line) for line in range(self.rowCount()))
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + rows + 2)


def _side(words: bool) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignLeft if words else Qt.AlignmentFlag.AlignRight
    return side | Qt.AlignmentFlag.AlignVCenter


class PricePage(QWidget):
    """Reads what ground costs of the session; asks for it when it is looked at."""

    def __init__(self, session: LibrarySession, steps: Steps, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._steps = session, steps
        self.title = label("", "heading", tr(hint("price")), wrap=True)
        self.table = PriceTable()
        self.picture = ScenePicture()
        self.words = label("", "", wrap=True)
        self.gap = label("", "", tr(hint("price.gap")), wrap=True)
        self.behind = button("", "flat", tr("Every outing with the reason; one click takes in or leaves out"))
        self.behind.clicked.connect(self._show_behind)
        self.letter = LetterBox(session)
        self._lay_out()
        changed = session.outings.changed
        self._asked = RefreshWhenSeen(steps, self, changed, session.price.update, stale=True)
        self._refresh = RefreshWhenSeen(steps, self, session.price.changed, self._show)

    def _lay_out(self) -> None:
        page = GrowingPage()
        self.gap_heading = label(tr("Aerobic gap"), "heading", tr(hint("price.gap")))
        caution = label(" ".join(cautions(0, 1, 2)), "caption", wrap=True)
        lengths = (self.title, self.table, self.words, row(self.behind), self.picture)
        words = (*lengths, self.gap_heading, self.gap, caution, REST)
        stacked(*words, of=page, margins=(12, 8, 12, 8), spacing=8)
        area = scroll_down(QScrollArea(), tr("What ground costs"), page)
        self.letter.setMinimumWidth(LEAST_LETTER_PX)
        self.letter.setMaximumWidth(LETTER_PX)
        row((area, 2), (self.letter, 1), of=self, margins=(8, 8, 12, 8), spacing=12)

    def _show(self) -> None:
        """Part by part: together they would take longer than the window may be waited for."""
        self._steps.later(self._show_words, self._show_table, self._show_picture, self._show_letter)

    @property
    def _price(self) -> AthletePrice | None:
        return self._session.price.latest

    def _show_words(self) -> None:
        price = self._price
        self.title.setVisible(price is not None)
        if price is None:
            self.words.setText(tr("Add an athlete to see what ground costs."))
            self.gap.clear()
            return
        title = tr("Time on the clock for {target} in band, from {n} outings")
        outings = sum(sport.outings for sport in price.price.sports)
        self.title.setText(title.format(target=duration(price.price.target_s), n=outings))
        self.words.setText("\n".join(price_sentences(price.price)))
        left = sum(each.by_hand is not False for each in self._outings())
        words = trn("{n} outing left out; all…", "{n} outings left out; all…", left)
        self.behind.setText(words.format(n=left))
        none = tr("No hard threshold is known: enter it with a band, or a lactate step test.")
        self.gap.setText("\n".join(gap_sentences(price.gaps)) or none)

    def _outings(self) -> tuple[LeftOut, ...]:
        rows = self._session.outings.shown.rows
        return price_outings(
            (
                name_of(each.outing),
                each.outing.start_utc,
                None if each.teaching is None else each.teaching.evidence,
                each.teaches,
            )
            for each in rows
        )

    def _show_behind(self) -> None:
        LeftOutDialog(self.window(), tr("What ground costs"), self._outings(), self._let_teach).exec()

    def _let_teach(self, index: int, teaches: bool) -> None:
        """Take an outing into what is learnt, or leave it out."""
        identity = self._session.outings.shown.rows[index].outing.identity
        self._session.opened.set_teaches((identity,), teaches)

    def _show_table(self) -> None:
        price = self._price
        if price is not None:
            self.table.show_price(price.price)
        self.table.setVisible(price is not None and bool(price.price.rows))

    def _show_picture(self) -> None:
        price = self._price
        rows = price is not None and bool(price.price.rows)
        self.picture.show_scene(partial(_chart, price.price) if price is not None and rows else None)

    def _show_letter(self) -> None:
        price = self._price
        self.letter.setVisible(price is not None)
        if price is not None:
            self.letter.show_price(price)


def _chart(price: Price, width: float, colours: Colours) -> Scene:
    """What draws it is loaded with the first picture."""
    from slopebeat.report.price_chart import price_chart

    return price_chart(price, width, colours)
