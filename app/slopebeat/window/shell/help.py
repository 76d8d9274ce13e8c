"""The help on a page of the window, what the help menu does, and the figure under the hand explained."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from PySide6.QtCore import QAbstractItemModel, QObject, QPoint, Qt, QUrl
from PySide6.QtGui import QCursor, QTextCursor
from PySide6.QtWidgets import (
    QApplication,
    QHeaderView,
    QLineEdit,
    QStackedWidget,
    QTableView,
    QTextBrowser,
    QWidget,
)

from slopebeat.model.language import tr
from slopebeat.review.help.guide import guide_file, guide_page
from slopebeat.window.shell.dialogs import AboutDialog, ShortcutsDialog
from slopebeat.window.widgets.parts import EXPLAINED_BY, REST, button, holder, label, row, stacked

WIDEST_PX = 860
"""Lines longer than this are hard to read [project choice]."""

SHEET = "h1 { font-size: 18pt; } h2 { font-size: 14pt; margin-top: 18px; } b { font-weight: 600; }"


class HelpPage(QWidget):
    """A browser of our own pages with a find box; ``back`` is the button to go back."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.browser = QTextBrowser()
        self.browser.setAccessibleName(tr("Help"))
        # Nothing is ever fetched: links lead inside the page.
        self.browser.setOpenLinks(False)
        self.browser.anchorClicked.connect(self._follow)
        self.browser.document().setDefaultStyleSheet(SHEET)
        self.browser.document().setDocumentMargin(18)
        self.browser.setMaximumWidth(WIDEST_PX)
        self.figures = button(tr("The figures explained"), "", tr("What every figure on screen is"))
        self.guide = button(tr("User guide"), "", tr("How to work with the program"))
        self.find_box = QLineEdit()
        self.find_box.setPlaceholderText(tr("Find"))
        self.find_box.setAccessibleName(tr("Find in the help"))
        self.find_box.setClearButtonEnabled(True)
        self.find_box.setMaximumWidth(220)
        self.found = label("", "caption")
        self.back = button(tr("Done"), "primary", tr("Go back to where you were"))
        self._lay_out()
        self.figures.clicked.connect(lambda: self.show_figures())
        self.guide.clicked.connect(lambda: self.show_guide())
        self.find_box.returnPressed.connect(self._find_next)
        self.find_box.textEdited.connect(self._find_first)

    def _lay_out(self) -> None:
        bar = row(self.figures, self.guide, self.find_box, self.found)
        bar.addWidget(self.back)
        middle = holder(stacked(bar, (self.browser, 1), spacing=8))
        middle.setMaximumWidth(WIDEST_PX)
        row(REST, (middle, 20), REST, of=self, margins=(12, 10, 12, 12), spacing=None)

    def show_figures(self, key: str = "") -> None:
        """The explanations, from the top or from one figure on."""
        from slopebeat.review.help.explanations import page

        self.browser.setHtml(page())
        self._go_to(key)

    def show_guide(self, place: str = "") -> None:
        """The user guide, from the top or from one heading on."""
        file = guide_file()
        if file is None:
            self.browser.setPlainText(tr("The user guide is not installed with this copy of the program."))
            return
        self.browser.setSearchPaths([str(file.parent)])
        self.browser.setHtml(guide_page(file))
        self._go_to(place)

    def _go_to(self, place: str) -> None:
        self.browser.moveCursor(QTextCursor.MoveOperation.Start)
        if place:
            self.browser.scrollToAnchor(place)
        self.browser.setFocus()

    def _follow(self, link: QUrl) -> None:
        """Inside the page, or from the guide to a figure: ``figure:`` and its key."""
        if link.scheme() == "figure":
            self.show_figures(link.path())
        elif link.hasFragment():
            self.browser.scrollToAnchor(link.fragment())

    def _find_first(self, words: str) -> None:
        self.browser.moveCursor(QTextCursor.MoveOperation.Start)
        self._look_for(words)

    def _find_next(self) -> None:
        if not self._look_for(self.find_box.text()):
            self._find_first(self.find_box.text())

    def _look_for(self, words: str) -> bool:
        there = not words or self.browser.find(words)
        self.found.setText("" if there else tr("Not found"))
        return there


class HelpActions(QObject):
    """Owns the help page, which is made when it is first wanted."""

    def __init__(self, window: QWidget, stack: QStackedWidget) -> None:
        super().__init__(window)
        self._window, self._stack = window, stack
        self._page: HelpPage | None = None
        self._before: QWidget | None = None
        self._mouse_at_focus = QCursor.pos()
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._focus_moved)

    @property
    def page(self) -> HelpPage:
        """The help page; it is in the stack from now on."""
        if self._page is None:
            self._page = HelpPage()
            self._page.back.clicked.connect(self.leave_help)
            self._stack.addWidget(self._page)
        return self._page

    def explain_figures(self) -> None:
        self.page.show_figures()
        self._show()

    def explain_this(self) -> None:
        """Explain the figure under the mouse or the one that has the focus; all of them else.

        The mouse goes first where it was moved after the keyboard came to where it is.
        """
        place = QCursor.pos()
        at_mouse = QApplication.widgetAt(place)
        mouse = pointed_at(at_mouse, place) or figure_of(at_mouse)
        focus = figure_of(QApplication.focusWidget())
        key = (mouse or focus) if place != self._mouse_at_focus else (focus or mouse)
        self.page.show_figures(key or "")
        self._show()

    def _focus_moved(self) -> None:
        self._mouse_at_focus = QCursor.pos()

    def show_guide(self) -> None:
        self.page.show_guide()
        self._show()

    def show_shortcuts(self) -> None:
        ShortcutsDialog(self._window).exec()

    def show_about(self) -> None:
        AboutDialog(self._window).exec()

    def leave_help(self) -> None:
        """Back to what was on screen before."""
        if self._before is not None:
            self._stack.setCurrentWidget(self._before)

    def _show(self) -> None:
        now = self._stack.currentWidget()
        if now is not self.page:
            self._before = now
        self._stack.setCurrentWidget(self.page)


@runtime_checkable
class ExplainsPlaces(Protocol):
    """A widget, or a view of one, that shows several figures side by side."""

    def figure_at(self, place: QPoint) -> str | None:
        """The key of the figure at a place in the widget; None where there is none."""


def figure_of(widget: QWidget | None) -> str | None:
    """The figure a widget shows, by its key or what it says on hovering: a table by its current column."""
    while widget is not None:
        key = widget.property(EXPLAINED_BY)
        if not isinstance(key, str):
            hover = widget.toolTip()
            if isinstance(widget, QTableView):
                hover = _hover_of(widget) or hover
            key = _key_of(hover) if hover else None
        if key is not None:
            return str(key)
        widget = widget.parentWidget()
    return None


def pointed_at(widget: QWidget | None, at: QPoint) -> str | None:
    """The figure at this place of the screen: of a column's head, a piece of the bar, a part of a chart."""
    while widget is not None:
        if isinstance(widget, ExplainsPlaces):
            return widget.figure_at(widget.mapFromGlobal(at))
        view = widget.parentWidget()
        if isinstance(view, QHeaderView):
            return _key_of_column(view.model(), view.logicalIndexAt(widget.mapFromGlobal(at)))
        if isinstance(view, QTableView) and widget is view.viewport():
            index = view.indexAt(widget.mapFromGlobal(at))
            return _key_of_column(view.model(), index.column()) if index.isValid() else None
        widget = view
    return None


def _key_of_column(model: QAbstractItemModel, column: int) -> str | None:
    tip = model.headerData(column, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole)
    return _key_of(tip) if isinstance(tip, str) else None


def _key_of(hover: str) -> str | None:
    """The tables of all figures are loaded behind the window; nobody asks before it is there."""
    from slopebeat.review.help.explanations import key_of

    return key_of(hover)


def _hover_of(table: QTableView) -> str:
    column = max(table.currentIndex().column(), 0)
    tip = table.model().headerData(column, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole)
    return tip if isinstance(tip, str) else ""
