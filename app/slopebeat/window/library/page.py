"""The library on screen: the athlete, the filters, the list of outings and the months."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QMenu, QTabWidget, QWidget

from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.people import Ground
from slopebeat.review.words.names import key_name
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.session import Session
from slopebeat.window.library.filters import FilterBar
from slopebeat.window.library.list import OutingsTable
from slopebeat.window.library.months_page import MonthsPage
from slopebeat.window.library.notices import ImportView
from slopebeat.window.library.picked import PickedMenu, RemovalBar
from slopebeat.window.library.price_page import PricePage
from slopebeat.window.widgets.boxes import choice_box
from slopebeat.window.widgets.parts import button, label, row, stacked

MOST_DAMAGE = 3
"""Sentences shown on what is damaged, the others when pointed at [project choice]."""


class LibraryPage(QWidget):
    """Reads the library's session; who owns the page gives its buttons what needs a dialog."""

    message = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self._session = session
        self._library = session.library

    def fill(self) -> Iterator[None]:
        """Make every part, each in its place; between them the window may take clicks."""
        session = self._session
        self._make_head()
        yield
        self.filters = FilterBar(self._library)
        yield
        self.list = OutingsTable(self._library.outings)
        yield
        self.months = MonthsPage(self._library, session.steps)
        yield
        self.price = PricePage(self._library, session.steps)
        yield
        self.report = ImportView(self._library.work)
        self.count = label("", "caption")
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("Outings and months"))
        yield from self._lay_out()
        yield
        self._connect()
        self._show_people()
        self._show_picked()

    def _make_head(self) -> None:
        self.athlete = choice_box(tr("Athlete"), tr("Whose outings are shown"))
        self.athlete.setMinimumWidth(170)
        self.prescription = label("", "caption", wrap=True)
        self.place = label("", "caption")
        self.damage = label("", "problem", wrap=True)
        self.damage.setAccessibleName(tr("Damage in the library"))
        self.add = button(tr("Add an athlete…"))
        self.edit = button(tr("Edit…"), "", tr("Name, prescription and masses"))
        self.bands = button(tr("Bands…"), "", tr("Heart-rate bands in force over time"))
        self.plan = button(
            tr("Plan a route…"), "", tr("Time, heart rate and speeds on a GPX route, from these outings")
        )
        self.bring = button(
            tr("Import…"), "primary", tr("Files, a folder or an archive; folders can be dropped, too")
        )
        self.compare = button(tr("Compare"), "", tr("Show two selected outings side by side"))
        self.remove = button(tr("Remove…"), "", tr("Remove the selected outings from the library (Del)"))
        self.removal = RemovalBar(self._library)
        self.to_outing = button(tr("Back to the outing"), "", tr("Show the outing that is open"))

    def _lay_out(self) -> Iterator[None]:
        menu = QMenu(self.bring)
        self.bring_files = menu.addAction(tr("Files or archives…"))
        self.bring_folder = menu.addAction(tr("A folder…"))
        self.bring.setMenu(menu)
        people = (self.athlete, self.edit, self.add, self.bands, (self.prescription, 1))
        top = row(*people, self.to_outing, self.plan, self.bring)
        below = row((self.filters, 1), self.count, self.compare, self.remove, spacing=10)
        self.tabs.addTab(self.list, tr("Outings"))
        self.tabs.addTab(self.months, tr("Months"))
        yield
        self.tabs.addTab(self.price, tr("What ground costs"))
        self.tabs.addTab(self.report, tr("Last import"))
        yield
        foot = row((self.place, 1), self.filters.fragments, spacing=None)
        parts = (top, below, self.removal, self.damage, (self.tabs, 1), foot)
        stacked(*parts, of=self, margins=(12, 10, 12, 10), spacing=8)

    def _connect(self) -> None:
        opened = self._library.opened
        self.report.open_requested.connect(self._library.open_outing)
        self.report.anyway_wanted.connect(self._library.import_anyway)
        self.athlete.activated.connect(lambda at: opened.choose_athlete(self.athlete.itemData(at)))
        self.list.picked_changed.connect(self._show_picked)
        self.list.open_requested.connect(self._library.open_outing)
        self.list.removal_wanted.connect(self._ask_removal)
        self.list.menu_requested.connect(lambda at: self.picked_menu().exec(at))
        # Queued: the list is filled anew by the change, which must not happen inside the editor's end.
        self.list.title_typed.connect(self._session.rename, Qt.ConnectionType.QueuedConnection)
        self.remove.clicked.connect(self._ask_removal)
        self.months.open_requested.connect(self._library.open_outing)
        self._library.opened.athlete_changed.connect(self._show_people)
        self._library.outings.changed.connect(self._show_count)
        self._session.outing.reviewed.connect(self._show_picked)
        self._session.display.changed.connect(self.filters.use_units)

    def picked_menu(self) -> PickedMenu:
        """What can be done with the outings that are selected."""
        return PickedMenu(self.list, self._session, self.list.picked_rows)

    def _show_people(self) -> None:
        opened = self._library.opened
        self.athlete.clear()
        for athlete in opened.athletes:
            self.athlete.addItem(athlete.name, athlete.identity)
        if opened.athlete is not None:
            self.athlete.setCurrentIndex(self.athlete.findData(opened.athlete.identity))
        known = opened.athlete is not None
        self.athlete.setVisible(known)
        for widget in (self.edit, self.bands, self.bring):
            widget.setEnabled(known)
        self.prescription.setText(prescribed(opened))
        library = opened.library
        words = "" if library is None else tr("Kept in {place}").format(place=library.path)
        self.place.setText(tr("Demo library of invented people") if opened.is_demo else words)

    def save_shown(self) -> bool:
        """Save the months or the letter where it is shown; lists have no report."""
        now = self.tabs.currentWidget()
        if now is self.price:
            self.price.letter.save_letter()
        elif now is self.months:
            return self.months.save_shown(self.message.emit)
        return now is self.price

    def _show_count(self) -> None:
        shown, rows = self._library.outings.shown, self._library.opened.rows
        unreviewed = sum(each.summary is None for each in rows)
        words = tr("{shown} of {all} outings").format(shown=shown.outings, all=shown.of)
        if shown.of < len(rows):
            recorded = trn("{n} recording", "{n} recordings", len(rows)).format(n=len(rows))
            words = f"{words} ({recorded})"
        waiting = tr("{n} not reviewed yet").format(n=unreviewed)
        self.count.setText(f"{words}, {waiting}" if unreviewed else words)
        self._show_damage()

    def _show_damage(self) -> None:
        """What of the library could not be read: an outing that is missing from the list is named here."""
        found = self._library.opened.damage
        more = len(found) - MOST_DAMAGE
        shown = [*found[:MOST_DAMAGE], tr("And {n} more.").format(n=more)] if more > 0 else found
        self.damage.setText(" ".join(shown))
        self.damage.setToolTip("\n".join(found))
        self.damage.setVisible(bool(found))

    def _ask_removal(self) -> None:
        self.removal.ask(self.list.picked)

    def _show_picked(self) -> None:
        self.remove.setEnabled(bool(self.list.picked))
        self.compare.setEnabled(len(self.list.picked) == 2)
        self.to_outing.setVisible(self._session.outing.review is not None)


def prescribed(opened: OpenLibrary) -> str:
    """What holds for the athlete looked at: prescription and latest bands, in words."""
    athlete = opened.athlete
    if athlete is None:
        return tr("Add an athlete to begin; then import recordings or drop a folder here.")
    assert opened.inputs is not None
    asked = opened.inputs.prescribed(date.today())
    words = prescription(asked.minutes_per_week, asked.sessions_per_week)
    bands = []
    for ground in Ground:
        latest = [p for p in opened.periods if p.ground is ground]
        if latest:
            bands.append(f"{key_name(ground)} {max(latest, key=lambda p: p.from_day).band}")
    return f"{words}  ·  {', '.join(bands) or tr('no band yet: minutes in band need one')}"


def prescription(minutes: float | None, sessions: int | None) -> str:
    """What is prescribed a week, in words."""
    if minutes is not None and sessions is not None:
        text = tr("Prescribed {minutes} min in band in {sessions} sessions a week")
        return text.format(minutes=figure(minutes), sessions=sessions)
    if minutes is not None:
        return tr("Prescribed {minutes} min in band a week").format(minutes=figure(minutes))
    if sessions is not None:
        return tr("Prescribed {sessions} sessions a week").format(sessions=sessions)
    return tr("No prescription yet")
