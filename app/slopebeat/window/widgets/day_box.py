"""A day to type or to choose from a calendar.

Qt's own box for dates takes digits part by part and drops those its year has no room for: after a date typed
in full the year of before still stands there.
"""

from __future__ import annotations

from datetime import date, timedelta

from PySide6.QtCore import QDate, QPoint, Qt, Signal
from PySide6.QtGui import QIcon, QKeyEvent, QPainter, QPalette, QPixmap
from PySide6.QtWidgets import QCalendarWidget, QLineEdit, QMenu, QWidget, QWidgetAction

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.units import YEARS_TYPED, day_typed

SIGN_PX = 14
"""Side of the sign that opens the calendar [project choice]."""

STEPS = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1, Qt.Key.Key_PageUp: 7, Qt.Key.Key_PageDown: -7}
"""Days that keys go on by [project choice]."""


class DayBox(QLineEdit):
    """Shows a day as year, month and day; what is typed is read whole. Up and down go by a day.

    ``changed`` tells that another day was typed or chosen, or what is none.
    """

    changed = Signal()

    def __init__(self, name: str, day: date | None = None, parent: QWidget | None = None) -> None:
        """``day`` None: nothing is set; ``day()`` is then None, and so it is while the text is empty."""
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setPlaceholderText(tr("year-month-day"))
        if day is not None:
            self.setText(day.isoformat())
        self._sign = self.addAction(QIcon(), QLineEdit.ActionPosition.TrailingPosition)
        self._sign.setText(tr("Choose from a calendar"))
        self._sign.setToolTip(self._sign.text())
        self._sign.triggered.connect(self.open_calendar)
        self._paint_sign()
        self.textChanged.connect(lambda _text: self.changed.emit())
        self.editingFinished.connect(self._tidy)

    def day(self) -> date | None:
        """The day; None where nothing is typed.

        Raises
        ------
        UserError
            With a sentence, when what is typed is no day.
        """
        text = self.text().strip()
        return day_typed(text) if text else None

    def set_day(self, day: date | None) -> None:
        self.setText("" if day is None else day.isoformat())

    def open_calendar(self) -> None:
        """Show the month of the day, to choose from."""
        self.calendar_menu().popup(self.mapToGlobal(QPoint(0, self.height())))

    def calendar_menu(self) -> QMenu:
        """A menu of one entry, the calendar; it is thrown away once it is closed."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        calendar = QCalendarWidget()
        calendar.setFirstDayOfWeek(Qt.DayOfWeek.Monday)
        calendar.setMinimumDate(QDate(YEARS_TYPED[0], 1, 1))
        calendar.setMaximumDate(QDate(YEARS_TYPED[1], 12, 31))
        shown = self.known() or date.today()
        calendar.setSelectedDate(QDate(shown.year, shown.month, shown.day))
        entry = QWidgetAction(menu)
        entry.setDefaultWidget(calendar)
        menu.addAction(entry)

        def choose(chosen: QDate) -> None:
            self.set_day(date(chosen.year(), chosen.month(), chosen.day()))
            menu.close()

        calendar.clicked.connect(choose)
        calendar.activated.connect(choose)
        return menu

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, known = Qt.Key(event.key()), self.known()
        if key in STEPS and known is not None:
            self.set_day(known + timedelta(days=STEPS[key]))
            return
        super().keyPressEvent(event)

    def known(self) -> date | None:
        """The day, as none also where what is typed is none, as half of one."""
        try:
            return self.day()
        except UserError:
            return None

    def _tidy(self) -> None:
        known = self.known()
        if known is not None and known.isoformat() != self.text():
            self.set_day(known)

    def _paint_sign(self) -> None:
        """A sheet with its head, in the colour of the text."""
        made = QPixmap(SIGN_PX, SIGN_PX)
        made.fill(Qt.GlobalColor.transparent)
        painter = QPainter(made)
        colour = self.palette().color(QPalette.ColorRole.PlaceholderText)
        painter.setPen(colour)
        painter.drawRect(1, 2, SIGN_PX - 3, SIGN_PX - 4)
        painter.fillRect(1, 2, SIGN_PX - 2, 3, colour)
        painter.end()
        self._sign.setIcon(QIcon(made))
