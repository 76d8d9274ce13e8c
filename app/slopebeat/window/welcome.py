"""The first screen: what the program is for, and how to begin."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from slopebeat.review.answer import CAUTIONS
from slopebeat.review.demo_months import demo_folder
from slopebeat.session.demo import demo_files
from slopebeat.window.parts import button, card, label, row

PURPOSE = (
    "See how much of an outing on hills counted inside your heart-rate band, where and why the rest "
    "did not, and how much longer the next one must last."
)


class Welcome(QWidget):
    """One sentence, two buttons, the cautions."""

    open_wanted = Signal()
    demo_wanted = Signal()
    library_wanted = Signal()
    months_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        frame, layout = card(36, 14)
        frame.setFixedWidth(660)
        purpose = label(PURPOSE, "detail", wrap=True)
        self.open = button("Open a recording…", "primary", "A FIT, GPX or TCX file, also packed with gzip")
        self.demo = button("See the demo outings", "", "Three invented outings: on foot and by bike")
        self.demo.setVisible(bool(demo_files()))
        self.open.clicked.connect(self.open_wanted)
        self.demo.clicked.connect(self.demo_wanted)
        self.library = button("Your library", "", "Outings kept over months; made at the first time")
        self.months = button(
            "See half a year of demo outings", "", "Two invented people; takes a minute once"
        )
        self.months.setVisible(demo_folder() is not None)
        self.library.clicked.connect(self.library_wanted)
        self.months.clicked.connect(self.months_wanted)
        layout.addWidget(label("Slopebeat", "title"))
        layout.addWidget(purpose)
        layout.addSpacing(6)
        layout.addLayout(row(self.open, self.demo, spacing=10))
        layout.addLayout(row(self.library, self.months, spacing=10))
        drop = "Or drop a FIT, GPX or TCX file here; a folder or an archive goes into your library."
        layout.addWidget(label(drop, "muted"))
        layout.addSpacing(14)
        for caution in CAUTIONS:
            layout.addWidget(label(caution, "caption", wrap=True))
        across = QHBoxLayout()
        across.addStretch(1)
        across.addWidget(frame)
        across.addStretch(1)
        outer = QVBoxLayout(self)
        outer.addStretch(2)
        outer.addLayout(across)
        outer.addStretch(3)
