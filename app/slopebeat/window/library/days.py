"""Which days' outings are looked at: the last weeks or months, or from a day to a day."""

from __future__ import annotations

from datetime import date, timedelta

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QWidget

from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.window.widgets.day_box import DayBox

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
        self.span = QComboBox()
        self.span.setAccessibleName(tr("Days"))
        self.span.setToolTip(tr("Days of the outings"))
        for words, days in SPANS:
            self.span.addItem(tr(words), days)
        self.span.addItem(tr(BETWEEN))
        self.first, self.last = _box(tr("From")), _box(tr("To"))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        for widget in (self.span, self.first, self.last):
            layout.addWidget(widget)
        self.span.activated.connect(self._chosen)
        for box in (self.first, self.last):
            box.setVisible(False)
            box.changed.connect(self.changed)

    def days(self, today: date | None = None) -> tuple[date | None, date | None]:
        """First and last day, both inside; None is no end."""
        if self._between:
            return _day(self.first), _day(self.last)
        days: int | None = self.span.currentData()
        return (None if days is None else (today or date.today()) - timedelta(days=days - 1)), None

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


def _day(box: DayBox) -> date | None:
    """The day typed; what is none, as half of one, is no end."""
    try:
        return box.day()
    except UserError:
        return None
