"""The few dialogs; each is opened with ``ask(...)``."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from slopebeat import __version__
from slopebeat.model.language import mark, tr
from slopebeat.plots.theme import theme
from slopebeat.review.cautions import CAUTIONS
from slopebeat.window.shell.actions import ACTIONS, without_access_keys
from slopebeat.window.shell.welcome import PURPOSE
from slopebeat.window.widgets.dialogs import ScrollingDialog, close_only
from slopebeat.window.widgets.parts import label
from slopebeat.window.widgets.qt_texts import key_names, keys_held

CHART_KEYS = (
    (("Left", "Right"), mark("Move the charts while they have the focus.")),
    (("+", "-"), mark("Zoom the charts while they have the focus.")),
    (("Home",), mark("Show the whole outing while the charts have the focus.")),
)
"""Plain keys at the charts, as Qt's portable text, and what they do."""

DRAGS = {
    "note": mark("Mark a stretch for a note."),
    "doubt": mark("Mark doubtful heart rate."),
    "measure": mark("Measure a stretch."),
}
"""What a drag with keys held does, by the name of the mode."""

WIDTH_PX = 640
"""Of the list of shortcuts at the usual text size: most sentences stay in one line [project choice]."""


class _TextDialog(ScrollingDialog):
    """A dialog that only says something."""

    def __init__(self, parent: QWidget | None, title: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.foot.addWidget(close_only(self))
        # The keys that scroll work at once; Escape closes.
        self.area.setFocus()


class ShortcutsDialog(_TextDialog):
    """All shortcuts by menu, from the table of actions; keys are named in the program's language."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, tr("Shortcuts"))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(28)
        self._grid.setVerticalSpacing(4)
        self._grid.setColumnStretch(1, 1)
        self.usual_px = QSize(round(WIDTH_PX * theme.text_share), 0)
        menu = ""
        for row in ACTIONS:
            if row.shortcut:
                if row.menu != menu:
                    menu = row.menu
                    self._add_heading(without_access_keys(tr(menu)))
                self._add(key_names(row.shortcut), tr(row.tip))
        self._add_charts()
        self.content.addLayout(self._grid)

    def _add_charts(self) -> None:
        from slopebeat.plots.outing.drag_mode import KEYS_OF, DragMode  # loaded behind the window

        self._add_heading(tr("At the charts"))
        self._add(tr("Wheel"), tr("Zoom the charts about the mouse."))
        self._add(tr("Drag"), tr("Move the charts, or do what is chosen above them."))
        for mode, meaning in DRAGS.items():
            self._add(keys_held(KEYS_OF[DragMode(mode)]) + tr("Drag"), tr(meaning))
        for keys, meaning in CHART_KEYS:
            self._add(", ".join(map(key_names, keys)), tr(meaning))

    def _add_heading(self, words: str) -> None:
        at = self._grid.rowCount()
        self._grid.setRowMinimumHeight(at, 34 if at > 1 else 0)
        self._grid.addWidget(label(words, "detail"), at, 0, 1, 2, Qt.AlignmentFlag.AlignBottom)

    def _add(self, keys: str, meaning: str) -> None:
        at = self._grid.rowCount()
        self._grid.addWidget(label(keys, "heading"), at, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(label(meaning, wrap=True), at, 1)


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
