"""What holds for an athlete from a day on: prescriptions and body masses, and phases between two days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtWidgets import QFormLayout, QLineEdit, QWidget

from slopebeat.library.people import Entry, new_identity
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.people import BodyMass, Dated, Phase, PhaseKind, Prescription, first_day_of
from slopebeat.model.units import day_typed
from slopebeat.review.week.words import entry_words
from slopebeat.review.words.names import key_name
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.settings import BODY_KG
from slopebeat.window.widgets.boxes import choice_box, entered, mass_box, optional_box
from slopebeat.window.widgets.day_box import DayBox
from slopebeat.window.widgets.dialogs import RowsDialog, undo_keys
from slopebeat.window.widgets.parts import button, label, row, show_words

PRESCRIPTION, MASS = mark("Prescription"), mark("Body mass")
KINDS: tuple[type[Prescription] | type[BodyMass] | PhaseKind, ...] = (Prescription, BodyMass, *PhaseKind)
"""In the order of the box; Qt would keep the keys of phases as bare texts."""

MINUTES, SESSIONS = (0, 5000), (0, 21)
"""A week, by the boxes [project choice]."""


class DatedDialog(RowsDialog):
    """Lists the entries, the latest first; what is kept or removed counts at once for weeks and reviews."""

    def __init__(self, parent: QWidget | None, session: LibrarySession, athlete: str, day: date) -> None:
        headers = [tr("From"), tr("To"), tr("What holds")]
        title = tr("Prescriptions, body mass and phases")
        super().__init__(parent, title, tr("Entries with dates"), headers)
        self._session, self._athlete = session, athlete
        self._entries: tuple[Entry, ...] = ()
        self.table.setTabKeyNavigation(False)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.remove = button(tr("Remove"), "", tr("What held before it goes on; Ctrl+Z takes it back"))
        self.keep = button(tr("Keep"), "primary", tr("An entry of the same kind and day is replaced"))
        self.problem = label("", "problem", wrap=True)
        phases = [tr("Phase: {kind}").format(kind=key_name(phase)) for phase in PhaseKind]
        self.kind = choice_box(tr("What is entered"))
        self.kind.addItems([tr(PRESCRIPTION), tr(MASS), *phases])
        self.first, self.last = DayBox(tr("From"), day), DayBox(tr("To"), day)
        self.minutes = optional_box(tr("Minutes in band a week"), MINUTES, "", tr("not set"))
        self.sessions = optional_box(tr("Sessions a week"), SESSIONS, "", tr("not set"))
        self.above = optional_box(
            tr("Too much above the band, minutes a week"),
            MINUTES,
            "",
            tr("not set"),
            tr("Your own limit; without one there is no verdict."),
        )
        self.mass = mass_box(tr("Body mass"), BODY_KG, tr("Work rates are per kilogram of body mass."))
        self.text = QLineEdit()
        self.text.setAccessibleName(tr("Called"))
        self.form = QFormLayout()
        self._lay_out()
        self.kind.currentIndexChanged.connect(self._show_kind)
        self.keep.clicked.connect(self._keep)
        self.remove.clicked.connect(self._remove)
        self.table.itemSelectionChanged.connect(self._picked)
        # Reading comes after what was done or taken back: both go through one writer, in order.
        session.history.changed.connect(self._read)
        undo_keys(self, session.history)
        self._show_kind()
        self._read()

    def _lay_out(self) -> None:
        rows: tuple[tuple[str, QWidget], ...] = (
            (tr("Kind"), self.kind),
            (tr("From"), self.first),
            (tr("To"), self.last),
            (tr("Minutes in band a week"), self.minutes),
            (tr("Sessions a week"), self.sessions),
            (tr("Too much above, minutes a week"), self.above),
            (tr("Body mass"), self.mass),
            (tr("Called"), self.text),
        )
        for words, box in rows:
            self.form.addRow(label(words), box)
        below = (row(self.remove), self.form, row(self.keep), self.problem)
        self.lay_out((560, 620), *below, spacing=10)
        self.problem.hide()

    def _show_kind(self) -> None:
        kind = KINDS[self.kind.currentIndex()]
        for box, wanted in (
            (self.last, isinstance(kind, PhaseKind)),
            (self.text, isinstance(kind, PhaseKind)),
            (self.mass, kind is BodyMass),
            *((each, kind is Prescription) for each in (self.minutes, self.sessions, self.above)),
        ):
            self.form.setRowVisible(box, wanted)

    def _read(self) -> None:
        self._session.opened.ask(lambda library: library.dated.of(self._athlete), self._fill, self._refused)

    def _fill(self, dated: Dated) -> None:
        entries: list[Entry] = [*dated.prescriptions, *dated.masses, *dated.phases]
        self._entries = tuple(sorted(entries, key=first_day_of, reverse=True))
        self.show_rows(
            [
                (
                    str(first_day_of(entry)),
                    str(entry.last_day or "") if isinstance(entry, Phase) else "",
                    entry_words(entry),
                )
                for entry in self._entries
            ]
        )
        self.table.resizeColumnsToContents()
        self._picked()

    def _picked(self) -> None:
        self.remove.setEnabled(self.picked_row() is not None)

    def entered(self) -> Entry:
        """What the boxes say."""
        kind, first = KINDS[self.kind.currentIndex()], _day(self.first)
        if kind is Prescription:
            minutes, above = entered(self.minutes), entered(self.above)
            asked = (None if minutes is None else float(minutes), entered(self.sessions))
            return Prescription(self._athlete, first, *asked, None if above is None else float(above))
        if kind is BodyMass:
            return BodyMass(self._athlete, first, self.mass.kg())
        assert isinstance(kind, PhaseKind)
        return Phase(new_identity(), self._athlete, kind, first, _day(self.last), self.text.text().strip())

    def _keep(self) -> None:
        try:
            entry = self.entered()
        except UserError as problem:
            self._refused(str(problem))
            return
        same = (type(entry), first_day_of(entry))
        gone = [e for e in self._entries if not isinstance(e, Phase) and (type(e), first_day_of(e)) == same]
        self._exchange(gone, [entry])

    def _remove(self) -> None:
        at = self.picked_row()
        if at is not None:
            self._exchange([self._entries[at]], [])

    def _exchange(self, gone: Sequence[Entry], come: Sequence[Entry]) -> None:
        self.problem.hide()
        self._session.entries.exchange(self._athlete, gone, come, None, self._refused)

    def _refused(self, sentence: str) -> None:
        show_words(self.problem, sentence)


def _day(box: DayBox) -> date:
    """The day typed; UserError with a sentence where it is none."""
    return day_typed(box.text())
