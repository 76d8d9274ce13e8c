"""Tabs that are all seen: in a narrow row they are called by shorter names."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QTabBar, QTabWidget, QWidget

BOLD_SHARE = 0.08
"""What the tab that is chosen may need more than its size says, for its bold letters [project choice]."""


@dataclass(frozen=True)
class TabName:
    """What a tab is called where there is room, and where there is little."""

    usual: str
    short: str


class _Bar(QTabBar):
    """Knows how wide its tabs want to be."""

    def wanted_px(self) -> float:
        sizes = [self.tabSizeHint(at).width() for at in range(self.count())]
        return sum(sizes) + BOLD_SHARE * max(sizes, default=0)


class AllSeenTabs(QTabWidget):
    """No arrows to scroll the tabs: names become short, and are cut only where those have no room either."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bar = _Bar()
        self.setTabBar(self._bar)
        self.setUsesScrollButtons(False)
        self.setElideMode(Qt.TextElideMode.ElideRight)
        self._names: dict[QWidget, TabName] = {}
        self._short = False

    def add(self, view: QWidget, usual: str, short: str = "") -> None:
        """Another tab, last."""
        self._names[view] = TabName(usual, short or usual)
        self.addTab(view, usual)
        self.fit()

    def name(self, view: QWidget, usual: str, short: str = "") -> None:
        """Call a tab something else; words that stand there already would lay all tabs out anew."""
        named = TabName(usual, short or usual)
        if self._names[view] != named:
            self._names[view] = named
            self._say()
            self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()

    def fit(self) -> None:
        """Use the names there is room for."""
        if self._short:
            self._short = False
            self._say()
        if self._bar.wanted_px() > self.width():
            self._short = True
            self._say()

    def _say(self) -> None:
        for at in range(self.count()):
            view = self.widget(at)
            named = self._names.get(view) if view is not None else None
            if named is not None:
                shown = named.short if self._short else named.usual
                if self.tabText(at) != shown:
                    self.setTabText(at, shown)
                self.setTabToolTip(at, named.usual if self._short else "")
