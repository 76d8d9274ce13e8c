"""Which outings a plan learns from: a list to tick, and what was seen in them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QListWidget, QListWidgetItem

from slopebeat.analysis.route.plan import RoutePlan
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import GROUND
from slopebeat.model.recording import shown_title
from slopebeat.model.units import duration, percent
from slopebeat.session.library.rows import OutingRow
from slopebeat.session.route.outings import RouteOutings
from slopebeat.session.route.route import RoutePlanning
from slopebeat.window.widgets.boxes import not_edited
from slopebeat.window.widgets.parts import REST, button, label, row, stacked

IDENTITY = Qt.ItemDataRole.UserRole


class RouteOutingsPanel(QFrame):
    """Ticks are passed on at once; planning waits until the user pauses."""

    def __init__(self, planning: RoutePlanning) -> None:
        super().__init__()
        self._planning = planning
        self._learning: RouteOutings = planning.learning
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Outings to learn from"))
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        self.every = button(tr("All"), "", tr("Learn from all of these outings"))
        self.none = button(tr("None"), "", tr("Learn from none of these outings"))
        self.words = label("", wrap=True)
        side = stacked(self.words, REST, row(self.every, self.none, spacing=None))
        row((self.list, 3), (side, 2), of=self, margins=(8, 8, 8, 8), spacing=14)
        self.list.itemChanged.connect(self._ticked)
        self.every.clicked.connect(lambda: self._learning.choose(frozenset(self._all())))
        self.none.clicked.connect(lambda: self._learning.choose(frozenset()))
        self._learning.changed.connect(self.show_outings)
        self._learning.listed.connect(self.show_outings)
        planning.planned.connect(self._say)
        self.show_outings()

    def show_outings(self) -> None:
        """Fill the list with the outings there are, those learnt from ticked."""
        with not_edited(self.list):
            if self._all() != [self.list.item(i).data(IDENTITY) for i in range(self.list.count())]:
                self.list.clear()
                for each in self._learning.rows:
                    item = QListWidgetItem(_words(each), self.list)
                    item.setData(IDENTITY, each.outing.identity)
                    item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            for i in range(self.list.count()):
                item = self.list.item(i)
                ticked = item.data(IDENTITY) in self._learning.chosen
                item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
        self.every.setEnabled(self.list.count() > 0)
        self.none.setEnabled(bool(self._learning.chosen))
        self._say()

    def _all(self) -> list[str]:
        return [each.outing.identity for each in self._learning.rows]

    def _ticked(self, item: QListWidgetItem) -> None:
        one = frozenset([item.data(IDENTITY)])
        chosen = self._learning.chosen
        self._learning.choose(chosen | one if item.checkState() is Qt.CheckState.Checked else chosen - one)

    def _say(self) -> None:
        plan = self._planning.plan
        self.words.setText(learnt_from(plan, self._learning.name) if plan is not None else "")


def _words(row: OutingRow) -> str:
    parts = [row.outing.local_day().isoformat(), shown_title(row.outing.title, row.outing.file_name)]
    if row.summary is not None:
        parts.append(duration(row.summary.recorded_s))
        parts.append(GROUND.text(row.summary.distance_m, 1))
    return "  ·  ".join(parts)


def learnt_from(plan: RoutePlan, name: str) -> str:
    """How many outings a plan learnt from and which grades they saw."""
    count = trn("{n} outing", "{n} outings", plan.outing_count).format(n=plan.outing_count)
    seen = [each.grade for each in plan.grades if each.seen]
    text = tr("Learnt from {outings} of {name}, {usable} with a usable heart rate.").format(
        outings=count, name=name or tr("the athlete"), usable=plan.heart_count
    )
    if not seen:
        return text
    grades = tr("Grades gone for two minutes or more: {low} to {high}.")
    return f"{text} {grades.format(low=percent(min(seen)), high=percent(max(seen)))}"
