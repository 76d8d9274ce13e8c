"""The top of the page: which outing, the answer in words, and where the time went."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.model.track import Track
from slopebeat.review.answer import CAUTIONS, answer_sentences, basis, why
from slopebeat.review.help.explanations import hint
from slopebeat.review.present.account import sums
from slopebeat.review.present.figure import On
from slopebeat.review.present.head import head_line
from slopebeat.review.words.messages import say_all
from slopebeat.session.session import Session
from slopebeat.window.outing.title_editor import TitleEditor
from slopebeat.window.widgets.account_picture import AccountPicture
from slopebeat.window.widgets.parts import button, label, row


class AnswerCard(QFrame):
    """Shows the answer, or asks for a band while none is chosen."""

    band_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._session = session
        self._compact = False
        self._headed: Track | None = None
        self.name = TitleEditor(session)
        self.facts = label("", "caption", wrap=True)
        self.figures = label("", "caption", wrap=True)
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
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 10, 14, 10)
        layout.setSpacing(5)
        top = row(self.name, spacing=12, stretch_last=True)
        top.addWidget(self.facts, 1)
        top.addWidget(self.busy)
        layout.addLayout(top)
        second = row(spacing=12, stretch_last=True)
        second.addWidget(self.figures, 1)
        second.addWidget(self.sums)
        layout.addLayout(second)
        layout.addWidget(self.damage)
        for widget in (self.headline, self.detail, self.why):
            layout.addWidget(widget)
        layout.addSpacing(3)
        layout.addWidget(self.picture)
        layout.addLayout(row(self.choose))
        session.steps.follow(self._show, session.outing.reviewed, session.display.changed)
        session.outing.busy_changed.connect(self._say_busy)

    def _connect_picture(self) -> None:
        picture, session = self.picture, self._session
        picture.picked.connect(session.pointing.part)
        picture.target.moved.connect(session.try_target)
        picture.target.released.connect(session.keep_tried)
        session.selection.changed.connect(self._show_selection)
        session.aim.changed.connect(self._show_target)

    def _say_busy(self, busy: bool) -> None:
        self.busy.setText(tr("computing…") if busy else "")

    def set_compact(self, compact: bool) -> None:
        """On a low screen the causes in words give way to the charts; the causes table has them all."""
        self._compact = compact
        self.why.setVisible(bool(self.why.text()) and not compact)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        if not (self._session.aim.trying and self._headed is review.track):
            # Nothing of the head hangs on the band, which a hand may be moving.
            self._headed = review.track
            self.facts.setText(head_line(review, On.WINDOW))
            self.figures.setText(head_line(review, On.DETAIL))
            self.damage.setText(say_all(review.recording.damage))
            self.damage.setVisible(bool(review.recording.damage))
        self.choose.setVisible(review.account is None)
        self.why.setText(why(review))
        self.set_compact(self._compact)
        self.picture.setVisible(review.account is not None)
        if review.account is None:
            self.sums.clear()
            self.headline.setText(tr("Choose a heart-rate band to see what counted."))
            self.detail.setText(" ".join(tr(caution) for caution in CAUTIONS))
            self.detail.show()
            return
        headline, *detail = answer_sentences(review, with_basis=False)
        self.headline.setText(headline)
        self.detail.setText(" ".join(detail))
        self.detail.setToolTip(f"{tr(hint('needed'))} {basis(review)}".strip())
        self.detail.setVisible(bool(detail))
        self.sums.setText(sums(review.account))
        self.picture.show_account(review.account)
        self._show_target()

    def _show_selection(self) -> None:
        self.picture.bar.mark(self._session.pointing.part_shown)

    def _show_target(self) -> None:
        """The target as it is entered, ahead of the review while it is moved."""
        review = self._session.outing.review
        if review is not None and review.account is not None:
            target_s = self._session.aim.aim.target_s
            self.picture.target.show_target(target_s, review.account.span_s)
