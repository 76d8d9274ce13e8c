"""Selectors above list and months: which outings are looked at, and of which days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QWidget

from slopebeat.analysis.months.choice import Choice, Terrain
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import MASS
from slopebeat.model.people import Ground
from slopebeat.model.units import duration
from slopebeat.review.words.names import NAMES, sentence_start, sport_name
from slopebeat.review.words.other_names import OTHER_NAMES
from slopebeat.session.library.filter import FRAGMENT_S, Filter, is_fragment
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.widgets.boxes import choice_box, not_edited
from slopebeat.window.widgets.day_box import DayBox
from slopebeat.window.widgets.parts import button, row

HEAVY_KG = 10.0
EDGE_ROOM = 1e-3
"""Keeps an outing of just two hours, or ten kilograms, in one class only."""


@dataclass(frozen=True)
class Selector:
    """A selector: its name, and its choices as words and what they set; the first one lets all pass.

    Texts are marked ones; ``{load}`` stands for ten kilograms in the unit in force.
    """

    name: str
    tip: str
    choices: Sequence[tuple[str, dict[str, Any]]]


def _hours(low: float | None, high: float | None) -> dict[str, Any]:
    return {
        "shortest_s": None if low is None else low * 3600.0,
        "longest_s": None if high is None else high * 3600.0 - EDGE_ROOM,
    }


def _kilograms(low: float | None, high: float | None) -> dict[str, Any]:
    return {"lightest_load_kg": low, "heaviest_load_kg": high}


GROUND = Selector(
    mark("Ground"),
    mark("On foot or on a bike"),
    ((mark("Foot and bike"), {"ground": None}), *((NAMES[Ground][g], {"ground": g}) for g in Ground)),
)
DURATION = Selector(
    mark("Duration"),
    mark("Recorded time"),
    (
        (mark("Any duration"), _hours(None, None)),
        (mark("Under 1 h"), _hours(None, 1)),
        (mark("1 to 2 h"), _hours(1, 2)),
        (mark("2 to 4 h"), _hours(2, 4)),
        (mark("4 h and more"), _hours(4, None)),
    ),
)
TERRAIN = Selector(
    mark("Terrain"),
    mark("By the share of moving time on grades over 3 %"),
    (
        (mark("Any terrain"), {"terrains": frozenset()}),
        *((OTHER_NAMES[Terrain][t], {"terrains": frozenset({t})}) for t in Terrain),
    ),
)
LOAD = Selector(
    mark("Load"),
    mark("Load carried at the start"),
    (
        (mark("Any load"), _kilograms(None, None)),
        (mark("No load"), _kilograms(None, 0.0)),
        (mark("Up to {load}"), _kilograms(EDGE_ROOM, HEAVY_KG)),
        (mark("Over {load}"), _kilograms(HEAVY_KG + EDGE_ROOM, None)),
    ),
)


SPANS: tuple[tuple[str, int | None], ...] = (
    (mark("Any day"), None),
    (mark("Last 4 weeks"), 28),
    (mark("Last 12 weeks"), 84),
    (mark("Last 12 months"), 365),
)
"""What can be chosen, with its days up to today; the first lets all pass [project choice]."""

BETWEEN = mark("From a day to a day")


class DaysBox(QWidget):
    """Two boxes for days appear where these are chosen; ``changed`` whenever other days are meant."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        spans = [(tr(words), days) for words, days in (*SPANS, (BETWEEN, None))]
        self.span = choice_box(tr("Days"), tr("Days of the outings"), spans)
        self.first, self.last = _box(tr("From")), _box(tr("To"))
        row(self.span, self.first, self.last, of=self, stretch_last=True)
        self.span.activated.connect(self._chosen)
        for box in (self.first, self.last):
            box.setVisible(False)
            box.changed.connect(self.changed)

    def days(self) -> tuple[date | None, date | None]:
        """First and last day, both inside; None is no end."""
        if self._between:
            return self.first.known(), self.last.known()
        days: int | None = self.span.currentData()
        return (None if days is None else date.today() - timedelta(days=days - 1)), None

    def clear(self) -> None:
        """Let all days pass, without a word."""
        self.span.setCurrentIndex(0)
        self._show_boxes()

    @property
    def _between(self) -> bool:
        return self.span.currentIndex() == len(SPANS)

    def _chosen(self) -> None:
        self._show_boxes()
        self.changed.emit()

    def _show_boxes(self) -> None:
        for box in (self.first, self.last):
            box.setVisible(self._between)


def _box(name: str) -> DayBox:
    box = DayBox(name, date.today())
    box.setToolTip(name)
    return box


class FilterBar(QWidget):
    """A find box, five selectors and the days; what they say goes to the session."""

    def __init__(self, session: LibrarySession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.words = QLineEdit()
        self.words.setPlaceholderText(tr("Find in titles"))
        self.words.setClearButtonEnabled(True)
        self.words.setAccessibleName(tr("Find in titles"))
        self.words.setMaximumWidth(240)
        self.ground, self.duration = self._box(GROUND), self._box(DURATION)
        self.terrain, self.load = self._box(TERRAIN), self._box(LOAD)
        self.sport = choice_box(tr("Sport"), tr("As the file says"), [(tr("All sports"), None)])
        self.days = DaysBox()
        self.fragments = _fragments_box()
        self.everything = button(tr("Show all"), "flat", tr("Clear the find box and all selectors"))
        boxes = (self.words, self.ground, *self._boxes()[1:], self.days, self.everything)
        row(*boxes, of=self)
        self.words.textChanged.connect(self._tell)
        for box in self._boxes():
            box.activated.connect(self._tell)
        self.days.changed.connect(self._tell)
        self.everything.clicked.connect(self.clear)
        self.fragments.clicked.connect(self._tell)
        session.outings.changed.connect(self._show_fragments)
        session.opened.rows_changed.connect(self._fill_sports)
        self._show_clear()

    def clear(self) -> None:
        """Let all outings pass."""
        with not_edited(self.words):
            self.words.clear()
        for box in self._boxes():
            box.setCurrentIndex(0)
        self.days.clear()
        self._tell()

    def _boxes(self) -> tuple[QComboBox, ...]:
        return self.ground, self.sport, self.duration, self.terrain, self.load

    def _box(self, selector: Selector) -> QComboBox:
        choices = [(_shown(words), None) for words, _ in selector.choices]
        return choice_box(tr(selector.name), tr(selector.tip), choices)

    def _tell(self) -> None:
        wanted: dict[str, Any] = {}
        for box, selector in (
            (self.ground, GROUND),
            (self.duration, DURATION),
            (self.terrain, TERRAIN),
            (self.load, LOAD),
        ):
            wanted |= selector.choices[box.currentIndex()][1]
        if self.sport.currentIndex() > 0:
            wanted["sports"] = frozenset({self.sport.currentData()})
        wanted["first_day"], wanted["last_day"] = self.days.days()
        choice, words = replace(Choice(), **wanted), self.words.text().strip()
        self._session.outings.set_filter(Filter(choice, words, self.fragments.isChecked()))
        self._show_clear()

    def use_units(self) -> None:
        """Name the loads in the unit in force."""
        for at, (words, _) in enumerate(LOAD.choices):
            self.load.setItemText(at, _shown(words))

    def _show_clear(self) -> None:
        wanted = self._session.outings.filter
        self.everything.setVisible(replace(wanted, fragments=False) != Filter())

    def _show_fragments(self) -> None:
        """Say how many there are, where there are any."""
        shown = self._session.outings.shown
        count = shown.folded or sum(map(is_fragment, shown.rows))
        self.fragments.setText(trn("Show {n} fragment", "Show {n} fragments", count).format(n=count))
        self.fragments.setVisible(count > 0)

    def _fill_sports(self) -> None:
        """Offer the sports there are; the one chosen stays chosen while it is among them."""
        sports = sorted({row.outing.sport for row in self._session.opened.rows})
        chosen = self.sport.currentData()
        if [self.sport.itemData(at) for at in range(1, self.sport.count())] == sports:
            return
        self.sport.clear()
        self.sport.addItem(tr("All sports"))
        for sport in sports:
            self.sport.addItem(sport_name(sport), sport)
        self.sport.setCurrentIndex(max(0, self.sport.findData(chosen)))
        self._tell()


def _shown(words: str) -> str:
    return sentence_start(tr(words).format(load=MASS.text(HEAVY_KG, 0)))


def _fragments_box() -> QCheckBox:
    """Lets fragments be shown; hidden while there are none."""
    box = QCheckBox()
    text = tr("Recordings of less than {time}; they are in neither list nor months while not ticked")
    box.setToolTip(text.format(time=duration(FRAGMENT_S)))
    box.hide()
    return box
