"""What the months say in words: the weeks, what changed in each kind of outings, and what was left out."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from slopebeat.analysis.months.change import Change, GroupChanges, Told
from slopebeat.model.language import tr, trn
from slopebeat.review.answer import CAUTIONS
from slopebeat.review.help.explanations import hint
from slopebeat.review.months.changes import (
    FIGURES,
    QUESTION_WORDS,
    TOLD_WORDS,
    change_sentence,
    group_words,
    left_out_of,
    named_sentences,
)
from slopebeat.review.months.months import Months, weeks_sentence
from slopebeat.window.widgets.parts import label

MOST_NAMED = 12
"""Outings left out that are named in the page; the rest are counted, all are in the command's answer
[project choice]."""


def month_words(months: Months) -> QWidget:
    """A column of words beside the charts."""
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(12, 4, 12, 8)
    column.setSpacing(3)
    column.addWidget(label(weeks_sentence(months.weeks), "detail", tr(hint("months.weeks")), wrap=True))
    for group in months.changes:
        _group(column, months, group)
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
    column.addSpacing(8)
    column.addWidget(label(tr(CAUTIONS[0]), "caption", wrap=True))
    column.addStretch(1)
    return page


def _group(column: QVBoxLayout, months: Months, group: GroupChanges) -> None:
    said = [change for change in group.changes if change.told is not Told.NOTHING]
    for change in said or group.changes[:1]:
        _change(column, group, change)
    for text in named_sentences(group, months.outings):
        column.addWidget(label(text, "caption", wrap=True))
    rows = left_out_of(group, months.outings)
    if not rows:
        return
    column.addSpacing(6)
    head = tr("{group}: left out of what changed, or doubtful").format(group=group_words(group.group))
    column.addWidget(label(head, "caption", tr(hint("months.left_out")), wrap=True))
    for row in rows[:MOST_NAMED]:
        named = tr("{title}: {reason}").format(title=row.title, reason=row.reason)
        column.addWidget(label(named, "caption", wrap=True))
    more = len(rows) - MOST_NAMED
    if more > 0:
        column.addWidget(label(trn("and {n} more", "and {n} more", more).format(n=more), "caption"))


def _change(column: QVBoxLayout, group: GroupChanges, change: Change) -> None:
    column.addSpacing(8)
    figure = FIGURES[change.figure]
    title = tr("{group}: {figure}").format(group=group_words(group.group), figure=tr(figure.name))
    column.addWidget(label(title, "heading", tr(hint(f"months.{change.figure}")), wrap=True))
    column.addWidget(label(tr(QUESTION_WORDS[change.question]), "caption", wrap=True))
    verdict = tr(TOLD_WORDS[change.told])
    column.addWidget(label(verdict, "figure", tr(hint("months.verdict")), wrap=True))
    column.addWidget(label(change_sentence(group, change), wrap=True))
