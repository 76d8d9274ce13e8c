"""The first screen: what the program is for, and how to begin."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from slopebeat.disk.places import demo_folder
from slopebeat.model.language import mark, tr
from slopebeat.review.cautions import CAUTIONS
from slopebeat.session.outing.opening import demo_files
from slopebeat.window.widgets.parts import button, card, in_the_middle, label, row, scroll_down, stacked

if TYPE_CHECKING:
    from slopebeat.session.session import Session

PURPOSE = mark(
    "See how much of an outing on hills counted inside your heart-rate band, where and why the rest "
    "did not, and how much longer the next one must last."
)


MOST_PX = 420
"""Width of the entries [project choice]."""


class BandCard(QFrame):
    """Shows the user's own band and passes edits on; cautions stand on the page that holds it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        # Loaded when it is asked for: most starts show another page.
        from slopebeat.window.widgets.band_entry import BandEntry

        super().__init__(parent)
        self._session = session
        self.entry = BandEntry()
        self.entry.setMaximumWidth(MOST_PX)
        self.result = label("", "figure")
        self.problem = label("", "problem", wrap=True)
        ask = tr("Use the band prescribed to you. Nothing counts as in band until one is set.")
        words = label(ask, "caption", wrap=True)
        stacked(words, self.entry, self.result, self.problem, of=self, spacing=6)
        self.entry.edited.connect(session.edit_band)
        session.aim.entered_changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        aim = self._session.aim
        self.entry.show_choice(aim.entered.choice)
        band = aim.aim.band
        self.result.setText(tr("No band chosen yet") if band is None else str(band).replace("-", "–"))
        self.problem.setText(aim.problem)
        self.problem.setVisible(bool(aim.problem))


class Welcome(QScrollArea):
    """One sentence, buttons for the ways to begin, which the window connects, the cautions."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        scroll_down(self, tr("How to begin"))
        self.open = button(
            tr("Open a recording…"), "primary", tr("A FIT, GPX or TCX file, also packed with gzip")
        )
        self.demo = button(tr("See the demo outings"), "", tr("Three invented outings: on foot and by bike"))
        self.library = button(tr("Your library"), "", tr("Outings kept over months; made at the first time"))
        self.months = button(
            tr("See half a year of demo outings"), "", tr("Two invented people; takes a minute once")
        )
        self.set_band = button(tr("Set my band"), "", tr("The heart rates between which time counts"))
        self._session = session
        self._band_place = QVBoxLayout()
        self._lay_out()
        self.demo.setVisible(bool(demo_files()))
        self.months.setVisible(demo_folder() is not None)
        self.set_band.clicked.connect(self.ask_for_band)

    @cached_property
    def band(self) -> BandCard:
        """Where the band is entered, made when it is asked for."""
        made = BandCard(self._session)
        made.hide()
        self._band_place.addWidget(made)
        return made

    def ask_for_band(self) -> None:
        """Show where the band is entered; nothing is assumed until it is."""
        self.band.show()
        self.band.entry.method.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        frame, layout = card(36, 14)
        frame.setMinimumWidth(660)
        layout.addWidget(label("Slopebeat", "title"))
        layout.addWidget(label(tr(PURPOSE), "detail", wrap=True))
        layout.addSpacing(6)
        layout.addLayout(row(self.open, self.demo, self.set_band, spacing=10))
        layout.addLayout(self._band_place)
        layout.addLayout(row(self.library, self.months, spacing=10))
        drop = tr("Or drop a FIT, GPX or TCX file here; a folder or an archive goes into your library.")
        layout.addWidget(label(drop, "muted", wrap=True))
        layout.addSpacing(14)
        for caution in CAUTIONS:
            layout.addWidget(label(tr(caution), "caption", wrap=True))
        page = QWidget()
        in_the_middle(frame, page)
        self.setWidget(page)
