"""The top of the page: which outing, the answer in words, and where the time went."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QWidget

from slopebeat.model.language import tr
from slopebeat.model.recording import LONGEST_TITLE, title_of
from slopebeat.model.track import Track
from slopebeat.review.answer import answer_sentences, basis_sentence, why
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.review.present.account import parts_of, sums
from slopebeat.review.present.figure import On
from slopebeat.review.present.head import head_parts
from slopebeat.review.words.messages import say_all
from slopebeat.session.session import Session
from slopebeat.window.widgets.account_picture import AccountPicture, key_of_parts
from slopebeat.window.widgets.parts import (
    QWIDGETSIZE_MAX,
    FactLine,
    button,
    holder,
    label,
    rename,
    row,
    show_words,
    stacked,
)
from slopebeat.window.widgets.popup import Popup

ROOM_CHARS = 42
"""Width of the line while it is typed in, in characters [project choice]."""


class TitleEditor(QWidget):
    """Double click or F2 to type; Enter or leaving the line keeps what was typed, Esc leaves it as it was."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._index = -1
        self.words = label("", "heading", tr("Double click or F2 to change the title"))
        self.line = QLineEdit()
        self.line.setMaxLength(LONGEST_TITLE)
        self.line.setAccessibleName(tr("Title of the outing"))
        self.line.hide()
        row(self.words, self.line, of=self, spacing=None, stretch_last=True)
        self.line.installEventFilter(self)
        self.line.editingFinished.connect(self._keep)
        session.outing.replaced.connect(self._show)
        session.outing.reviewed.connect(self._show_words)
        session.outing.title_changed.connect(self._show_words)
        session.outing.chosen.connect(self._leave)

    def text(self) -> str:
        """The title as it is shown."""
        return self.words.text()

    def begin(self) -> None:
        """Put the keyboard where the title is typed."""
        outing = self._session.outing
        if outing.review is None or outing.index < 0 or not self.line.isHidden():
            return
        self._index = outing.index
        self.line.setText(title_of(outing.recordings[outing.index]))
        self.line.setMinimumWidth(ROOM_CHARS * self.line.fontMetrics().averageCharWidth())
        self.words.hide()
        self.line.show()
        self.line.selectAll()
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.begin()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            # The window has an act on this key, too.
            if event.type() is QEvent.Type.ShortcutOverride:
                event.accept()
                return True
            if event.type() is QEvent.Type.KeyPress:
                self._leave()
                return True
        return super().eventFilter(watched, event)

    def _keep(self) -> None:
        if not self.line.isHidden():
            typed, same = self.line.text(), self._index == self._session.outing.index
            self._leave()
            if same:
                self._session.edit_title(typed)

    def _leave(self) -> None:
        """Hiding the line ends editing as well: by then nothing of it counts."""
        if not self.line.isHidden():
            focused = self.line.hasFocus()
            self._index = -1
            self.line.hide()
            self.words.show()
            if focused:
                self.window().setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        self._leave()
        self._show_words()

    def _show_words(self) -> None:
        outing = self._session.outing
        if outing.review is not None and outing.index >= 0:
            self.words.setText(title_of(outing.recordings[outing.index]))


class AnswerCard(QFrame):
    """Shows the answer, or asks for a band while none is chosen.

    On a low page it gives way piece by piece, the least needed first; a button shows what is left out.
    """

    band_wanted = Signal()
    changed = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.setObjectName("card")
        self._session = session
        self._headed: Track | None = None
        self.name = TitleEditor(session)
        self.facts, self.figures = FactLine(), FactLine()
        self.damage = label("", "problem", wrap=True)
        self.sums = label("", "caption", tr(hint("sums")))
        self.busy = label("", "caption")
        self.headline = label("", "answer", tr(hint("yield")), wrap=True)
        self.detail = label("", "detail", tr(hint("needed")), wrap=True)
        self.why = label("", "muted", tr(hint("causes")), wrap=True)
        self.headline.setAccessibleName(tr("Answer"))
        self.picture = AccountPicture(pickable=True)
        self._connect_picture()
        self.choose = button(tr("Choose a band"), "primary")
        self.choose.clicked.connect(self.band_wanted)
        self.more = button(tr("Show all"), "flat", tr("Show what this low window leaves out"))
        self.more.clicked.connect(self.show_all)
        self.more.hide()
        self._lay_out()
        self._given_way: set[QWidget] = set()
        session.steps.follow(self._show, session.outing.reviewed, session.display.changed)
        session.outing.busy_changed.connect(self._say_busy)
        session.aim.let_go.connect(self._give_room)

    def _lay_out(self) -> None:
        self._head = holder(row(self.name, (self.facts, 1), self.busy, spacing=12))
        self._second = holder(row((self.figures, 1), self.sums, spacing=12))
        words = row((self.headline, 1), self.choose, self.more, spacing=12)
        head = (self._head, self._second, self.damage)
        self._column = stacked(*head, words, self.detail, self.why, self.picture, of=self, spacing=5)
        self._set_margins(True)

    def _set_margins(self, roomy: bool) -> None:
        self._column.setContentsMargins(14, 10 if roomy else 5, 14, 10 if roomy else 4)
        self._column.setSpacing(5 if roomy else 3)
        self.picture.set_close(not roomy)
        rename(self.headline, "answer" if roomy else "close_answer")

    def _connect_picture(self) -> None:
        picture, session = self.picture, self._session
        picture.picked.connect(session.piece_selection.part)
        picture.target.moved.connect(session.try_target)
        picture.target.released.connect(session.keep_tried)
        session.selection.changed.connect(self._show_selection)
        session.aim.changed.connect(self._show_target)

    def _say_busy(self, busy: bool) -> None:
        self.busy.setText(tr("computing…") if busy else "")

    def fit(self, width_px: int, room_px: int) -> None:
        """Give way until the card is no higher than this, where it is so wide; the answer itself stays."""
        self._given_way.clear()
        for last in ((), (self.why,), (self._second,), (self.detail,), (self.picture.key,), (self._head,)):
            self._given_way.update(last)
            self._set_margins(roomy=not self._given_way)
            self._set_visible()
            if self.height_px(width_px) <= room_px:
                return

    def height_px(self, width_px: int) -> int:
        """How high the card is where it is so wide."""
        self._column.invalidate()
        return self._column.totalHeightForWidth(width_px)

    def _set_visible(self) -> None:
        review = self._session.outing.review
        counted = review is not None and review.account is not None
        there = {
            self.why: bool(self.why.text()),
            self._second: True,
            self.detail: bool(self.detail.text()),
            self._head: True,
        }
        for widget, wanted in there.items():
            widget.setVisible(wanted and widget not in self._given_way)
        self.picture.set_key_visible(self.picture.key not in self._given_way)
        self.picture.setVisible(counted)
        self.choose.setVisible(review is not None and not counted)
        self.more.setVisible(bool(self._given_way))

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        # Each part that comes or goes would have the whole page laid out, the charts drawn to another height.
        self._column.setEnabled(False)
        self._show_review(review)
        self._column.setEnabled(True)
        self._hold_size()
        self.changed.emit()

    def _hold_size(self) -> None:
        """Under a hand keep the size, but for more height: other words would move all charts under it."""
        most, wide = QWIDGETSIZE_MAX, self.width()
        if self._session.aim.trying:
            self.setFixedSize(wide, max(self.height(), self._column.totalHeightForWidth(wide)))
        elif self.maximumWidth() < most:
            self.setMinimumSize(0, 0)
            self.setMaximumSize(most, most)

    def event(self, event: QEvent) -> bool:
        done = super().event(event)
        if event.type() is QEvent.Type.LayoutRequest:
            self._hold_size()
        return done

    def _show_review(self, review: Review) -> None:
        if not (self._session.aim.trying and self._headed is review.track):
            # Nothing of the head hangs on the band, which a hand may be moving.
            self._headed = review.track
            self.facts.show_facts(_facts(review, On.WINDOW))
            self.figures.show_facts(_facts(review, On.DETAIL))
            show_words(self.damage, say_all(review.recording.damage))
        self.why.setText(why(review))
        if review.account is None:
            self.sums.clear()
            self.headline.setText(tr("Choose a heart-rate band to see what counted."))
            self.detail.setText(" ".join(tr(caution) for caution in CAUTIONS))
        else:
            headline, *detail = answer_sentences(review, with_basis=False)
            self.headline.setText(headline)
            self.detail.setText(" ".join(detail))
            self.detail.setToolTip(f"{tr(hint('needed'))} {basis_sentence(review)}".strip())
            self.sums.setText(sums(review.account))
            self.picture.show_account(review.account)
            self._show_target()
        self._set_visible()

    def _give_room(self) -> None:
        """No hand holds anything any more: take the height that the words need."""
        self._hold_size()
        self.changed.emit()

    def _show_selection(self) -> None:
        self.picture.bar.mark(self._session.piece_selection.part_shown)

    def _show_target(self) -> None:
        """The target as it is entered, ahead of the review while it is moved."""
        review = self._session.outing.review
        if review is not None and review.account is not None:
            target_s = self._session.aim.aim.target_s
            self.picture.target.show_target(target_s, review.account.span_s)

    def show_all(self) -> Popup:
        """What the card says at its full height, over the page until a click or Escape."""
        whole = Popup(self.window(), tr("Answer"))
        column = whole.column
        close = button(tr("Close"), "flat", tr("Close this message"))
        close.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        close.clicked.connect(whole.close)
        top = row(label(self.name.text(), "heading"))
        top.addWidget(close)
        column.addLayout(top)
        for line in (self.facts, self.figures):
            again = FactLine()
            again.show_facts(line.facts)
            column.addWidget(again)
        for words in (self.sums, self.damage, self.headline, self.detail, self.why):
            if words.text():
                column.addWidget(label(words.text(), words.objectName(), words.toolTip(), wrap=True))
        review = self._session.outing.review
        if review is not None and review.account is not None:
            column.addWidget(key_of_parts(parts_of(review.account)))
        whole.cover_widget(self)
        return whole


def _facts(review: Review, where: On) -> list[tuple[str, str]]:
    """The figures of the head, each with its hover."""
    return [(words, tr(hint(key)) if key else "") for words, key in head_parts(review, where)]
