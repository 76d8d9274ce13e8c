"""The look of the whole program: its colours, the size of its texts, and the one signal that tells of both.

There is one for all windows, as there is one style sheet. What paints itself reads it when it paints; what
keeps pens, brushes or widths calls :meth:`Theme.follow` once, when it is made.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from slopebeat.plots.colours import LIGHT, Colours


class Theme(QObject):
    """Colours and text size in force."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.colours = LIGHT
        self.text_share = 1.0
        """How large texts are drawn, as a share of their usual size."""

    def set(self, colours: Colours, text_share: float = 1.0) -> None:
        """Draw everything in these colours, and texts of this size, from now on."""
        if (colours, text_share) != (self.colours, self.text_share):
            self.colours, self.text_share = colours, text_share
            self.changed.emit()

    def follow(self, take: Callable[[], None]) -> None:
        """Call a method of a QObject now and whenever the look changes, as long as that object lives."""
        take()
        self.changed.connect(take)


theme = Theme()
