"""The months: weeks against the prescription, figures over time, and what changed in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication, QGridLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from slopebeat.analysis.months.change import ChangeVerdict, FigureChange, GroupChanges
from slopebeat.model.language import tr
from slopebeat.model.people import Athlete
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.help.explanations import hint
from slopebeat.review.months.changes import (
    DECOUPLING,
    FIGURES,
    LEVEL,
    QUESTION_WORDS,
    TOLD_WORDS,
    YIELD,
    LeftOut,
    MonthsFigure,
    change_sentence,
    group_words,
    left_out_of,
    left_out_rows,
    named_sentences,
)
from slopebeat.review.months.months import Months, Series, weeks_sentence
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.steps import Steps
from slopebeat.window.library.left_out import LeftOutDialog, LetTeach, act_words
from slopebeat.window.widgets.page_file import save_page
from slopebeat.window.widgets.parts import (
    button,
    explained_by,
    framed,
    holder,
    label,
    row,
    scroll_down,
    stacked,
)
from slopebeat.window.widgets.refresh import RefreshWhenSeen

if TYPE_CHECKING:
    from slopebeat.plots.months.series import SeriesChart
    from slopebeat.plots.months.weeks import WeeksChart
    from slopebeat.report.formats import Formats

WORDS_PX = 330
"""Width of the words beside the charts [project choice]."""


class MonthsPage(QWidget):
    """Reads the months of the session; ``open_requested`` tells the identity of a point that was clicked."""

    open_requested = Signal(str)

    def __init__(self, session: LibrarySession, steps: Steps, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._steps = session, steps
        self._grid = QGridLayout()
        self.words = scroll_down(explained_by("months.verdict", QScrollArea()), tr("Verdicts"))
        self._lay_out()
        # Made in turns of their own: each has its height before it is drawn.
        charts = ("weeks", "level", "decoupling", "yields")
        self._makers = tuple(partial(getattr, self, name) for name in charts)
        self._more: dict[SeriesChart, Callable[[], None]] = {}
        self._refresh = RefreshWhenSeen(steps, self, session.outings.changed, self._show, stale=True)

    @cached_property
    def weeks(self) -> WeeksChart:
        """Like every chart here made when it is first drawn: the window opens sooner without them."""
        from slopebeat.plots.months.weeks import WeeksChart

        made = WeeksChart()
        self._grid.addWidget(framed(explained_by("months.weeks", made)), 0, 0)
        return made

    @cached_property
    def decoupling(self) -> SeriesChart:
        name = tr("Terrain-fair decoupling, %")
        return self._made(explained_by("months.decoupling", _series_chart(name, zero_line=True)), 1, 0)

    @cached_property
    def level(self) -> SeriesChart:
        name = tr("Heart rate at your usual work, bpm")
        return self._made(explained_by("months.level", _series_chart(name)), 0, 1)

    @cached_property
    def yields(self) -> SeriesChart:
        name = tr("Time in band, %")
        return self._made(explained_by("months.yield", _series_chart(name, with_interval=False)), 1, 1)

    def _made(self, chart: SeriesChart, line: int, column: int) -> SeriesChart:
        self._grid.addWidget(framed(chart), line, column)
        chart.picked.connect(self._open)
        # One for good, so that a newer drawing takes the place of an older one.
        self._more[chart] = partial(self._draw_more, chart)
        return chart

    def _lay_out(self) -> None:
        self._grid.setSpacing(8)
        for line in (0, 1):
            self._grid.setRowStretch(line, 1)
            self._grid.setColumnStretch(line, 1)
        self.words.setFixedWidth(WORDS_PX)
        row((self._grid, 1), self.words, of=self, margins=(8, 8, 8, 8))

    def _show(self) -> None:
        """Draw chart by chart, and the points of thousands of outings series by series."""
        self._steps.later(*self._makers, self._show_weeks, self._show_level, self._show_decoupling)
        self._steps.later(self._show_yields, self._show_phases, self._show_words)

    def _show_phases(self) -> None:
        inputs = self._session.opened.inputs
        for chart in (self.weeks, self.level, self.decoupling, self.yields):
            chart.show_phases(() if inputs is None else inputs.dated.phases)

    @property
    def _months(self) -> Months:
        return self._session.outings.shown.months

    def _series(self, figure: MonthsFigure) -> list[Series]:
        return [s for s in self._months.series if s.figure.name == figure.name]

    def _show_weeks(self) -> None:
        self.weeks.show_months(self._months)

    def _show_decoupling(self) -> None:
        self._begin(self.decoupling, self._series(DECOUPLING))

    def _show_yields(self) -> None:
        self._begin(self.yields, self._series(YIELD))

    def _show_level(self) -> None:
        levels = self._series(LEVEL)
        # Kinds have levels of their own, at works of their own: on one axis they would only seem comparable.
        most = max(levels, key=lambda s: s.outing.size, default=None)
        other = "" if len(levels) < 2 or most is None else f"  {tr('the kind with most outings')}"
        self._begin(self.level, [] if most is None else [most], other)

    def _begin(self, chart: SeriesChart, series: Sequence[Series], note: str = "") -> None:
        chart.begin(self._months, series, note)
        self._steps.later(self._more[chart])

    def _draw_more(self, chart: SeriesChart) -> None:
        if chart.draw_more():
            self._steps.later(self._more[chart])

    def _show_words(self) -> None:
        self.words.setWidget(month_words(self._months, self._let_teach))

    def _let_teach(self, index: int, teaches: bool) -> None:
        """Take an outing of the months into what is learnt, or leave it out."""
        self._session.opened.set_teaches((self._session.outings.outing_of(index),), teaches)

    def save_shown(self, told: Callable[[str], None]) -> bool:
        """Save the months of the outings shown; False without an athlete. ``told``: what became of it."""
        from slopebeat.report.words import file_name

        athlete = self._session.opened.athlete
        if athlete is not None:
            name = file_name(tr("Months of {name}").format(name=athlete.name), ".pdf", "months")
            page = partial(_page_of, athlete, self._months)
            save_page(self, self._session.background, name, page, told)
        return athlete is not None

    def _open(self, index: int) -> None:
        self.open_requested.emit(self._session.outings.outing_of(index))


def _page_of(athlete: Athlete, months: Months) -> Formats:
    """The months as a file; what draws is loaded with the first one. Called in the background."""
    from slopebeat.report.formats import json_text
    from slopebeat.report.months.figures import months_csv
    from slopebeat.report.months.stories import months_story
    from slopebeat.report.story import story_formats
    from slopebeat.review.months.values import months_values

    return {
        **story_formats(lambda: months_story(athlete, months)),
        ".csv": lambda: months_csv(months),
        ".json": lambda: json_text(months_values(athlete, months)),
    }


def _series_chart(name: str, zero_line: bool = False, with_interval: bool = True) -> SeriesChart:
    """Loads what draws with the first chart that is looked at."""
    from slopebeat.plots.months.series import SeriesChart

    return SeriesChart(name, zero_line=zero_line, with_interval=with_interval)


MOST_NAMED = 12
"""Outings left out that are named in the page; a button opens the list of all [project choice]."""


def month_words(months: Months, let_teach: LetTeach) -> QWidget:
    """A column of words beside the charts; ``let_teach`` takes an outing in or leaves it out."""
    column = stacked(margins=(12, 4, 12, 8), spacing=3)
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
    return holder(column)


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


def _change(column: QVBoxLayout, group: GroupChanges, change: FigureChange) -> None:
    column.addSpacing(8)
    figure = FIGURES[change.figure]
    title = tr("{group}: {figure}").format(group=group_words(group.group), figure=tr(figure.name))
    column.addWidget(label(title, "heading", tr(hint(f"months.{change.figure}")), wrap=True))
    column.addWidget(label(tr(QUESTION_WORDS[change.question]), "caption", wrap=True))
    verdict = tr(TOLD_WORDS[change.verdict])
    column.addWidget(label(verdict, "figure", tr(hint("months.verdict")), wrap=True))
    column.addWidget(label(change_sentence(group, change), wrap=True))
