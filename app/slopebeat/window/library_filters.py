"""Selectors above list and months: which outings are looked at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QWidget

from slopebeat.analysis.weeks import Choice, Terrain
from slopebeat.model.people import Ground
from slopebeat.session.library import LibrarySession
from slopebeat.session.library_filter import Filter
from slopebeat.window.parts import button

HAIR = 1e-3
"""Keeps an outing of just two hours, or ten kilograms, in one class only."""


@dataclass(frozen=True)
class Selector:
    """A selector: its name, and its choices as words and what they set; the first one lets all pass."""

    name: str
    tip: str
    choices: Sequence[tuple[str, dict[str, Any]]]


def _hours(low: float | None, high: float | None) -> dict[str, Any]:
    return {
        "shortest_s": None if low is None else low * 3600.0,
        "longest_s": None if high is None else high * 3600.0 - HAIR,
    }


def _kilograms(low: float | None, high: float | None) -> dict[str, Any]:
    return {"lightest_load_kg": low, "heaviest_load_kg": high}


GROUND = Selector(
    "Ground",
    "On foot or on a bike",
    (("Foot and bike", {"ground": None}), *((str(g).capitalize(), {"ground": g}) for g in Ground)),
)
DURATION = Selector(
    "Duration",
    "Recorded time",
    (
        ("Any duration", _hours(None, None)),
        ("Under 1 h", _hours(None, 1)),
        ("1 to 2 h", _hours(1, 2)),
        ("2 to 4 h", _hours(2, 4)),
        ("4 h and more", _hours(4, None)),
    ),
)
TERRAIN = Selector(
    "Terrain",
    "By the share of moving time on grades over 3 %",
    (
        ("Any terrain", {"terrains": frozenset()}),
        *((str(t).capitalize(), {"terrains": frozenset({t})}) for t in Terrain),
    ),
)
LOAD = Selector(
    "Load",
    "Load carried at the start",
    (
        ("Any load", _kilograms(None, None)),
        ("No load", _kilograms(None, 0.0)),
        ("Up to 10 kg", _kilograms(HAIR, 10.0)),
        ("Over 10 kg", _kilograms(10.0 + HAIR, None)),
    ),
)
ALL_SPORTS = "All sports"


class FilterBar(QWidget):
    """A find box and five selectors; what they say goes to the session."""

    def __init__(self, session: LibrarySession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.words = QLineEdit()
        self.words.setPlaceholderText("Find in titles")
        self.words.setClearButtonEnabled(True)
        self.words.setAccessibleName("Find in titles")
        self.words.setMaximumWidth(240)
        self.ground, self.duration = self._box(GROUND), self._box(DURATION)
        self.terrain, self.load = self._box(TERRAIN), self._box(LOAD)
        self.sport = QComboBox()
        self.sport.setAccessibleName("Sport")
        self.sport.setToolTip("As the file says")
        self.sport.addItem(ALL_SPORTS)
        self.everything = button("Show all", "flat", "Clear the find box and all selectors")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        for widget in (self.words, self.ground, self.sport, self.duration, self.terrain, self.load):
            layout.addWidget(widget)
        layout.addWidget(self.everything)
        layout.addStretch(1)
        self.words.textChanged.connect(self._tell)
        for box in self._boxes():
            box.activated.connect(self._tell)
        self.everything.clicked.connect(self.clear)
        session.opened.rows_changed.connect(self._fill_sports)
        self._show_clear()

    def clear(self) -> None:
        """Let all outings pass."""
        self.words.blockSignals(True)
        self.words.clear()
        self.words.blockSignals(False)
        for box in self._boxes():
            box.setCurrentIndex(0)
        self._tell()

    def _boxes(self) -> tuple[QComboBox, ...]:
        return self.ground, self.sport, self.duration, self.terrain, self.load

    def _box(self, selector: Selector) -> QComboBox:
        box = QComboBox()
        box.setAccessibleName(selector.name)
        box.setToolTip(selector.tip)
        for words, _ in selector.choices:
            box.addItem(words)
        return box

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
            wanted["sports"] = frozenset({self.sport.currentText()})
        self._session.outings.set_filter(Filter(replace(Choice(), **wanted), self.words.text().strip()))
        self._show_clear()

    def _show_clear(self) -> None:
        self.everything.setVisible(self._session.outings.filter != Filter())

    def _fill_sports(self) -> None:
        """Offer the sports there are; the one chosen stays chosen while it is among them."""
        sports = sorted({row.outing.sport for row in self._session.opened.rows})
        chosen = self.sport.currentText()
        if [self.sport.itemText(at) for at in range(1, self.sport.count())] == sports:
            return
        self.sport.clear()
        self.sport.addItems([ALL_SPORTS, *sports])
        self.sport.setCurrentIndex(max(0, self.sport.findText(chosen)))
        self._tell()
