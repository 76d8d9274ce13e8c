"""Where the first screen asks for the band."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.window.widgets.band_entry import BandEntry
from slopebeat.window.widgets.parts import label

if TYPE_CHECKING:
    from slopebeat.session.outing.aim import BandChoice
    from slopebeat.session.session import Session

MOST_PX = 420
"""Width of the entries [project choice]."""


class BandCard(QFrame):
    """Shows the user's own band and passes edits on; cautions stand on the page that holds it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.entry = BandEntry()
        self.entry.setMaximumWidth(MOST_PX)
        self.result = label("", "figure")
        self.problem = label("", "problem", wrap=True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(6)
        ask = tr("Use the band prescribed to you. Nothing counts as in band until one is set.")
        layout.addWidget(label(ask, "caption", wrap=True))
        for widget in (self.entry, self.result, self.problem):
            layout.addWidget(widget)
        self.entry.edited.connect(self._edit)
        session.aim.entered_changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        aim = self._session.aim
        self.entry.show_choice(aim.entered.choice)
        band = aim.aim.band
        self.result.setText(tr("No band chosen yet") if band is None else str(band).replace("-", "–"))
        self.problem.setText(aim.problem)
        self.problem.setVisible(bool(aim.problem))

    def _edit(self, choice: BandChoice) -> None:
        self._session.edit_aim(replace(self._session.aim.entered, choice=choice))
