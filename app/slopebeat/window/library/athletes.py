"""The people of a library: one added or edited; all with what is kept of them, made one and removed."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtWidgets import QDialog, QFormLayout, QLineEdit, QMenu, QWidget

from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.library.transfer import Belongings
from slopebeat.model.language import mark, tr
from slopebeat.model.people import Athlete
from slopebeat.review.cautions import CAUTIONS
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.widgets.boxes import enter, entered, optional_box, own_mass_boxes
from slopebeat.window.widgets.dialogs import EntryDialog, Keep, Question, RowsDialog
from slopebeat.window.widgets.parts import button, label, row

YEARS, SESSIONS, MINUTES = (1900, 2100), (1, 21), (1, 5000)
"""What can be entered of a year of birth, and of sessions and minutes in band a week [project choice]."""


class AthleteDialog(EntryDialog):
    """The entries of one athlete; ``keep`` is called with them and may refuse with a sentence."""

    def __init__(self, parent: QWidget | None, athlete: Athlete | None, keep: Keep[Athlete]) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Add an athlete") if athlete is None else tr("Edit the athlete"))
        self._athlete = athlete or Athlete(new_identity(), "")
        self._keep = keep
        self.name = QLineEdit(self._athlete.name)
        self.name.setAccessibleName(tr("Name"))
        self.name.setPlaceholderText(tr("A name or a role"))
        unset = tr("not set")
        self.year = optional_box(tr("Year of birth"), YEARS, "", unset, tr("Only for bands found by age."))
        self.sessions = optional_box(
            tr("Sessions a week"), SESSIONS, f" {tr('a week')}", unset, tr("As prescribed.")
        )
        minutes, asked = f" {tr('min a week')}", tr("Minutes in band, as prescribed.")
        self.minutes = optional_box(tr("Minutes a week"), MINUTES, minutes, unset, asked)
        self.body, self.bike = own_mass_boxes()
        self._lay_out()
        self._show()

    @classmethod
    def ask(cls, parent: QWidget, athlete: Athlete | None, keep: Keep[Athlete]) -> bool:
        """Whether an athlete was kept."""
        return cls(parent, athlete, keep).exec() == QDialog.DialogCode.Accepted

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(8)
        rows: tuple[tuple[str, QWidget], ...] = (
            (tr("Name"), self.name),
            (tr("Year of birth"), self.year),
            (tr("Sessions prescribed"), self.sessions),
            (tr("Minutes in band prescribed"), self.minutes),
            (tr("Body mass"), self.body),
            (tr("Bike mass"), self.bike),
        )
        for words, box in rows:
            form.addRow(label(words), box)
        self.content.setSpacing(12)
        self.content.addLayout(form)
        dated = tr(
            "Body mass and prescription hold until the first one with a date; those are entered in the week."
        )
        self.content.addWidget(label(dated, "caption", wrap=True))
        self.content.addWidget(label(tr(CAUTIONS[0]), "caption", wrap=True))
        self.setMinimumWidth(430)

    def _show(self) -> None:
        athlete = self._athlete
        for box, value in (
            (self.year, athlete.birth_year),
            (self.sessions, athlete.sessions_per_week),
            (self.minutes, athlete.minutes_per_week),
        ):
            enter(box, value)
        self.body.set_kg(athlete.body_mass_kg)
        self.bike.set_kg(athlete.bike_mass_kg)

    def save(self) -> None:
        """Keep the athlete as entered."""
        minutes = entered(self.minutes)
        edited = replace(
            self._athlete,
            name=self.name.text(),
            birth_year=entered(self.year),
            body_mass_kg=self.body.kg(),
            bike_mass_kg=self.bike.kg(),
            sessions_per_week=entered(self.sessions),
            minutes_per_week=None if minutes is None else float(minutes),
        )
        self.keep_entry(self._keep, edited)


HEADERS = (mark("Name"), mark("Outings"), mark("Notes"), mark("Bands"))
WIDTHS_PX = (300, 90, 90, 90)

Kept = tuple[tuple[Athlete, Belongings], ...]


class AthletesDialog(RowsDialog):
    """What takes something away is asked first, with what goes and what falls away."""

    def __init__(self, parent: QWidget | None, session: LibrarySession) -> None:
        headers = [tr(header) for header in HEADERS]
        super().__init__(parent, tr("Athletes"), tr("Athletes of the library"), headers)
        self._session = session
        self._kept: Kept = ()
        for at, width in enumerate(WIDTHS_PX):
            self.table.setColumnWidth(at, width)
        self.add = button(tr("Add an athlete…"), "primary")
        self.edit = button(tr("Edit…"), "", tr("Name, prescription and masses"))
        self.merge = button(tr("Make one with"), "", tr("Everything of the selected athlete goes to another"))
        self.merge.setMenu(QMenu(self.merge))
        self.remove = button(tr("Remove…"), "", tr("Remove the selected athlete with everything"))
        self.notice = label("", "caption", wrap=True)
        self.lay_out((640, 420), row(self.add, self.edit, self.merge, self.remove), self.notice)
        self._connect()
        self._read()

    def _connect(self) -> None:
        self.add.clicked.connect(lambda: AthleteDialog.ask(self, None, self._session.opened.put_athlete))
        self.edit.clicked.connect(self._edit)
        self.table.doubleClicked.connect(self._edit)
        self.remove.clicked.connect(self._remove)
        self.table.itemSelectionChanged.connect(self._picked)
        self._session.failed.connect(self.notice.setText)
        self._session.opened.athlete_changed.connect(self._read)

    def _read(self) -> None:
        self._session.opened.ask(_kept, self._fill, self.notice.setText)

    def _fill(self, kept: Kept) -> None:
        before = self._chosen()
        self._kept = kept
        self.show_rows([(who.name, *map(str, (w.outings, w.notes, w.bands))) for who, w in kept])
        for at, (athlete, _) in enumerate(kept):
            if before is not None and before.identity == athlete.identity:
                self.table.selectRow(at)
        self._picked()

    def _chosen(self) -> Athlete | None:
        at = self.picked_row()
        return None if at is None or at >= len(self._kept) else self._kept[at][0]

    def _picked(self) -> None:
        chosen = self._chosen()
        for each in (self.edit, self.merge, self.remove):
            each.setEnabled(chosen is not None)
        others = [each for each, _ in self._kept if chosen is not None and each.identity != chosen.identity]
        self.merge.setEnabled(bool(others))
        menu = self.merge.menu()
        menu.clear()
        for other in others:
            menu.addAction(other.name.replace("&", "&&"), partial(self._merge, other))

    def _edit(self) -> None:
        chosen = self._chosen()
        if chosen is not None:
            AthleteDialog.ask(self, chosen, self._session.opened.put_athlete)

    def _merge(self, into: Athlete) -> None:
        gone, people = self._chosen(), self._session.people
        if gone is None:
            return

        def ask(words: str) -> None:
            notice = " ".join((words, tr("This cannot be undone.")))
            if Question.ask(self, tr("Make two athletes one"), notice, tr("Make them one")):
                people.merge(gone, into)

        people.ask_merge(gone, into, ask)

    def _remove(self) -> None:
        gone, people = self._chosen(), self._session.people
        if gone is None:
            return

        def ask(words: str) -> None:
            notice = " ".join(
                (words, tr("This cannot be undone; the files you imported stay where they are."))
            )
            if Question.ask(self, tr("Remove an athlete"), notice, tr("Remove")):
                people.remove(gone)

        people.ask_removal(gone, ask)


def _kept(library: Library) -> Kept:
    return tuple((each, library.transfers.belongings(each.identity)) for each in library.athletes)
