"""The few dialogs; each is opened with ``ask(...)``."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QDialog, QFileDialog, QGridLayout, QVBoxLayout, QWidget

from slopebeat import __version__
from slopebeat.model.language import mark, tr
from slopebeat.review.answer import CAUTIONS
from slopebeat.window.shell.actions import ACTIONS
from slopebeat.window.shell.welcome import PURPOSE
from slopebeat.window.widgets.parts import close_only, label

PATTERNS = "(*.fit *.gpx *.tcx *.fit.gz *.gpx.gz *.tcx.gz *.FIT *.GPX *.TCX)"

CHART_KEYS = (
    (mark("Wheel"), mark("Zoom the charts about the mouse")),
    (mark("Drag"), mark("Pan the charts")),
    (mark("Left, Right, +, −, Home"), mark("Pan, zoom and show all while the charts have the focus")),
)


class OpenDialog:
    """Choosing files to open."""

    @staticmethod
    def ask(parent: QWidget, folder: Path | None) -> list[Path]:
        """The chosen files, none when it was cancelled."""
        start = "" if folder is None else str(folder)
        filters = f"{tr('Recordings')} {PATTERNS};;{tr('All files')} (*)"
        names, _ = QFileDialog.getOpenFileNames(parent, tr("Open a recording"), start, filters)
        return [Path(name) for name in names]


class _TextDialog(QDialog):
    """A dialog that only says something."""

    def __init__(self, parent: QWidget | None, title: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.content = QVBoxLayout()
        self.content.setSpacing(8)
        buttons = close_only()
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 14)
        layout.setSpacing(14)
        layout.addLayout(self.content)
        layout.addWidget(buttons)


class ShortcutsDialog(_TextDialog):
    """All shortcuts, from the table of actions."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, tr("Shortcuts"))
        grid = QGridLayout()
        grid.setHorizontalSpacing(28)
        grid.setVerticalSpacing(4)
        rows = [(row.shortcut, row.tip) for row in ACTIONS if row.shortcut]
        by_hand = [(tr(keys), meaning) for keys, meaning in CHART_KEYS]
        for at, (keys, meaning) in enumerate((*rows, *by_hand)):
            grid.addWidget(label(keys, "heading"), at, 0)
            grid.addWidget(label(tr(meaning)), at, 1)
        self.content.addLayout(grid)

    @classmethod
    def ask(cls, parent: QWidget | None = None) -> None:
        cls(parent).exec()


class AboutDialog(_TextDialog):
    """What the program is, and the cautions."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, tr("About Slopebeat"))
        self.setMinimumWidth(560)
        self.content.addWidget(label(f"Slopebeat {__version__}", "answer"))
        self.content.addWidget(label(tr(PURPOSE), "detail", wrap=True))
        self.content.addWidget(label("\n".join(tr(caution) for caution in CAUTIONS), wrap=True))
        self.content.addWidget(
            label(
                tr(
                    "Out-of-band colours: scheme PuOr of ColorBrewer 2.0 (C. Brewer, M. Harrower, The "
                    "Pennsylvania State University). The program makes no connection to any network."
                ),
                "caption",
                wrap=True,
            )
        )

    @classmethod
    def ask(cls, parent: QWidget | None = None) -> None:
        cls(parent).exec()
