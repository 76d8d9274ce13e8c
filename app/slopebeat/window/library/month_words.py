"""What the months say in words, and which outings they leave out, beside the charts."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtWidgets import QApplication, QPushButton, QVBoxLayout, QWidget

from slopebeat.analysis.months.change import Change, ChangeVerdict, GroupChanges
from slopebeat.model.language import tr
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.help.explanations import hint
from slopebeat.review.months.changes import (
    FIGURES,
    QUESTION_WORDS,
    TOLD_WORDS,
    LeftOut,
    change_sentence,
    group_words,
    left_out_of,
    left_out_rows,
    named_sentences,
)
from slopebeat.review.months.months import Months, weeks_sentence
from slopebeat.window.library.left_out import LeftOutDialog, LetTeach, act_words
from slopebeat.window.widgets.parts import button, label, row

MOST_NAMED = 12
"""Outings left out that are named in the page; a button opens the list of all [project choice]."""


def month_words(months: Months, let_teach: LetTeach) -> QWidget:
    """A column of words beside the charts; ``let_teach`` takes an outing in or leaves it out."""
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(12, 4, 12, 8)
    column.setSpacing(3)
    column.addWidget(label(weeks_sentence(months.weeks), "detail", tr(hint("months.weeks")), wrap=True))
    for group in months.changes:
        _group(column, months, group, let_teach)
    if not months.changes and months.outings:
        column.addSpacing(8)
        none = tr("No outing tells a change yet: heart rate and a work rate are needed.")
        column.addWidget(label(none, wrap=True))
    doubts = dict.fromkeys(text for series in months.series for text in series.left_out)
    if doubts:
        column.addSpacing(8)
        column.addWidget(label(tr("Left out of the charts"), "heading"))
    for text in doubts:
        column.addWidget(label(text, "caption", wrap=True))
    _named(column, left_out_rows(months.not_drawn, months.outings), let_teach)
    column.addSpacing(8)
    column.addWidget(label(tr(CAUTIONS[0]), "caption", wrap=True))
    column.addStretch(1)
    return page


def _group(column: QVBoxLayout, months: Months, group: GroupChanges, let_teach: LetTeach) -> None:
    changes = [change for change in group.changes if change.verdict is not ChangeVerdict.NOTHING]
    for change in changes or group.changes[:1]:
        _change(column, group, change)
    for text in named_sentences(group, months.outings):
        column.addWidget(label(text, "caption", wrap=True))
    rows = left_out_of(group, months.outings)
    if not rows:
        return
    column.addSpacing(6)
    head = tr("{group}: left out of what changed, or doubtful").format(group=group_words(group.group))
    column.addWidget(label(head, "caption", tr(hint("months.left_out")), wrap=True))
    _named(column, rows, let_teach)


def _named(column: QVBoxLayout, rows: Sequence[LeftOut], let_teach: LetTeach) -> None:
    """Outings left out by name, each with what one click does; a button lists all where they are many."""
    for left in rows[:MOST_NAMED]:
        named = tr("{title}: {reason}").format(title=left.title, reason=left.reason)
        words = label(named, "caption", wrap=True)
        column.addWidget(words)
        if left.by_hand is not None:
            column.addLayout(row(_decide(left, let_teach)))
    if len(rows) > MOST_NAMED:
        tip = tr("Every outing left out, with the reason")
        more = button(tr("All {n}…").format(n=len(rows)), "flat", tip)
        more.clicked.connect(partial(_show_all, rows, let_teach))
        column.addLayout(row(more))


def _decide(left: LeftOut, let_teach: LetTeach) -> QPushButton:
    made = button(act_words(left), "flat", left.title)
    made.clicked.connect(lambda: let_teach(left.index, bool(left.by_hand)))
    return made


def _show_all(rows: Sequence[LeftOut], let_teach: LetTeach, _checked: bool = False) -> None:
    words = tr("Left out of what changed, or doubtful")
    LeftOutDialog(QApplication.activeWindow(), words, rows, let_teach).exec()


def _change(column: QVBoxLayout, group: GroupChanges, change: Change) -> None:
    column.addSpacing(8)
    figure = FIGURES[change.figure]
    title = tr("{group}: {figure}").format(group=group_words(group.group), figure=tr(figure.name))
    column.addWidget(label(title, "heading", tr(hint(f"months.{change.figure}")), wrap=True))
    column.addWidget(label(tr(QUESTION_WORDS[change.question]), "caption", wrap=True))
    verdict = tr(TOLD_WORDS[change.verdict])
    column.addWidget(label(verdict, "figure", tr(hint("months.verdict")), wrap=True))
    column.addWidget(label(change_sentence(group, change), wrap=True))
