"""The two ways to go, side by side; laps, and published walking times as a reference."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame

from slopebeat.analysis.route.plan import LapPlan, Range, RoutePlan, Strategy
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import GROUND, figure
from slopebeat.model.units import duration, hours_minutes, percent
from slopebeat.review.answer import LONGEST_SENSIBLE_S
from slopebeat.review.help.explanations import hint
from slopebeat.review.planning.words import REFERENCE_SOURCES, gone, span
from slopebeat.review.words.names import key_name
from slopebeat.window.widgets.parts import REST, grid_layout, holder, label, show_words, stacked

REFERENCE_CAUTION = mark(
    "Rules for walkers without a load on paths, made for signposts and maps: a reference, no forecast."
)
NO_REFERENCE = mark("DIN 33466, Naismith and Tobler are rules for walking: not applicable to a ride.")


def time_cell(value: Range) -> tuple[str, str]:
    """A duration, and its interval under it."""
    if value.middle > LONGEST_SENSIBLE_S:
        return tr("over {time}").format(time=duration(LONGEST_SENSIBLE_S)), ""
    if value.high > LONGEST_SENSIBLE_S:
        ends = tr("{low} to over {high} h")
        return duration(value.middle), ends.format(
            low=hours_minutes(value.low), high=hours_minutes(LONGEST_SENSIBLE_S)
        )
    ends = tr("{low} to {high} h")
    return duration(value.middle), ends.format(low=hours_minutes(value.low), high=hours_minutes(value.high))


def count_cell(value: Range) -> tuple[str, str]:
    """A number, and its interval under it."""
    ends = tr("{low} to {high}").format(low=figure(value.low), high=figure(value.high))
    return figure(value.middle), ends


def _extra_cell(strategy: Strategy) -> tuple[str, str]:
    if strategy.extra_s.high <= 0.0:
        return tr("none"), ""
    return time_cell(strategy.extra_s)


ROWS: tuple[tuple[str, str, Callable[[Strategy], tuple[str, str]]], ...] = (
    (mark("Time in all"), "pace.total", lambda s: time_cell(s.total_s)),
    (mark("Pauses on top"), "pace.pause", lambda s: time_cell(s.pause_s)),
    (mark("Mean heart rate"), "pace.mean", lambda s: count_cell(s.mean_bpm)),
    (mark("In band"), "pace.in_band", lambda s: time_cell(s.in_band_s)),
    (mark("Above it"), "pace.above", lambda s: time_cell(s.above_s)),
    (mark("Below it"), "pace.below", lambda s: time_cell(s.below_s)),
    (mark("Episodes above"), "pace.episodes_above", lambda s: count_cell(s.episodes_above)),
    (mark("Episodes below"), "pace.episodes_below", lambda s: count_cell(s.episodes_below)),
    (mark("Reach target"), "pace.target", lambda s: (percent(s.target_probability), tr("of outings"))),
    (mark("More needed"), "pace.more", _extra_cell),
)


COLUMN_SHARES = (3, 4, 4)
"""Of the width, for names and for both ways: an interval fits into one line [project choice]."""


class Strategies(QFrame):
    """Filled anew for each plan."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        self.grid = grid_layout(10, 2, shares=COLUMN_SHARES)
        self.names = (label("", "heading", wrap=True), label("", "heading", wrap=True))
        self.cells = [
            [(label("", "figure"), label("", "caption", wrap=True)) for _ in range(2)] for _ in ROWS
        ]
        self.laps = label("", wrap=True)
        self.times = label("", wrap=True)
        self.caution = label("", "caption", wrap=True)
        for column, name in enumerate(self.names):
            self.grid.addWidget(name, 0, column + 1)
        for at, (words, key, _) in enumerate(ROWS, start=1):
            named = label(tr(words), "caption", tr(hint(key)), wrap=True)
            self.grid.addWidget(named, at, 0, Qt.AlignmentFlag.AlignTop)
            for column, both in enumerate(self.cells[at - 1], start=1):
                cell = holder(stacked(*both, REST, margins=(0, 0, 0, 2), spacing=0))
                self.grid.addWidget(cell, at, column)
        compared = label(tr("To compare with"), "heading", wrap=True)
        parts = (self.grid, self.laps, compared, self.times, self.caution)
        stacked(*parts, of=self, margins=(12, 10, 12, 10), spacing=7)

    def show_plan(self, plan: RoutePlan) -> None:
        """Show both strategies of a plan, what is shown of laps, and the references."""
        for name, strategy in zip(self.names, plan.strategies, strict=True):
            name.setText(gone(strategy))
        for cells, (_, _, of) in zip(self.cells, ROWS, strict=True):
            for (value, interval), strategy in zip(cells, plan.strategies, strict=True):
                middle, ends = of(strategy)
                value.setText(middle)
                interval.setText(ends)
        show_words(self.laps, "\n".join(lap_words(each) for each in plan.laps))
        self._show_references(plan)

    def _show_references(self, plan: RoutePlan) -> None:
        thumb = thumb_words(plan)
        if not plan.references:
            self.times.setText("\n".join([*thumb, tr(NO_REFERENCE)]))
            self.caution.setText("")
            return
        times = [*thumb] + [
            tr("{name}: {time}").format(name=r.name, time=duration(r.seconds)) for r in plan.references
        ]
        self.times.setText("\n".join(times))
        sources = "\n".join(tr(REFERENCE_SOURCES[each.name]) for each in plan.references)
        self.caution.setText(f"{tr(REFERENCE_CAUTION)}\n{sources}")


def thumb_words(plan: RoutePlan) -> list[str]:
    """The rule of thumb from the same outings, where it can be known."""
    if plan.rule_of_thumb_s is None:
        return []
    text = tr("Distance + 7 x ascent at your usual speed: {time}")
    return [text.format(time=duration(plan.rule_of_thumb_s))]


def lap_words(laps: LapPlan) -> str:
    """Extra laps in one strategy, in a sentence."""
    where = tr("Loop {start} to {end}, {pace}").format(
        start=GROUND.figure(laps.start_m), end=GROUND.text(laps.end_m), pace=key_name(laps.strategy)
    )
    if laps.laps is None:
        return tr("{loop}: no sensible number of laps reaches the target.").format(loop=where)
    if laps.laps == 0:
        return tr("{loop}: no extra lap is needed.").format(loop=where)
    more = trn("{n} more lap", "{n} more laps", laps.laps).format(n=laps.laps)
    return tr("{loop}: {laps}, {total} in all, {inside} in band.").format(
        loop=where, laps=more, total=span(laps.total_s), inside=span(laps.in_band_s)
    )
