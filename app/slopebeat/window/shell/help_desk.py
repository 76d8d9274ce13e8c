"""What the help menu does: the help page shown and left, and the figure under the hand explained."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication, QStackedWidget, QTableView, QWidget

from slopebeat.review.help.explanations import key_of
from slopebeat.window.shell.help_page import HelpPage


class HelpDesk(QObject):
    """Owns the help page, which is made when it is first wanted."""

    def __init__(self, window: QWidget, stack: QStackedWidget) -> None:
        super().__init__(window)
        self._stack = stack
        self._page: HelpPage | None = None
        self._before: QWidget | None = None

    @property
    def page(self) -> HelpPage:
        """The help page; it is in the stack from now on."""
        if self._page is None:
            self._page = HelpPage()
            self._page.done.connect(self.leave_help)
            self._stack.addWidget(self._page)
        return self._page

    def explain_figures(self) -> None:
        self.page.show_figures()
        self._show()

    def explain_this(self) -> None:
        """Explain the figure that has the focus, or the one under the mouse; all of them else."""
        at_mouse = QApplication.widgetAt(QCursor.pos())
        key = figure_of(QApplication.focusWidget()) or figure_of(at_mouse)
        self.page.show_figures(key or "")
        self._show()

    def show_guide(self) -> None:
        self.page.show_guide()
        self._show()

    def leave_help(self) -> None:
        """Back to what was on screen before."""
        if self._before is not None:
            self._stack.setCurrentWidget(self._before)

    def _show(self) -> None:
        now = self._stack.currentWidget()
        if now is not self.page:
            self._before = now
        self._stack.setCurrentWidget(self.page)


def figure_of(widget: QWidget | None) -> str | None:
    """The figure a widget shows, by what it says on hovering: a table by its current column."""
    while widget is not None:
        hover = widget.toolTip()
        if isinstance(widget, QTableView):
            hover = _hover_of(widget) or hover
        key = key_of(hover) if hover else None
        if key is not None:
            return key
        widget = widget.parentWidget()
    return None


def _hover_of(table: QTableView) -> str:
    column = max(table.currentIndex().column(), 0)
    tip = table.model().headerData(column, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole)
    return tip if isinstance(tip, str) else ""
