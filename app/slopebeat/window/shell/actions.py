"""Every action of the window as data: menus, shortcuts and the list of shortcuts come from here."""

from __future__ import annotations

from functools import partial
from operator import attrgetter
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from slopebeat.model.language import tr
from slopebeat.window.shell.outing_actions import OUTING_ACTIONS
from slopebeat.window.shell.program_actions import FILE_ACTIONS, HELP_ACTIONS, LIBRARY_ACTIONS

if TYPE_CHECKING:
    from slopebeat.window.shell.action_row import ActionRow

ACTIONS: tuple[ActionRow, ...] = (*FILE_ACTIONS, *OUTING_ACTIONS, *LIBRARY_ACTIONS, *HELP_ACTIONS)
"""In the order of the menus."""

RECENT_AFTER = "open_demo"
"""The menu of recent files comes after this action."""


def without_access_keys(words: str) -> str:
    """Words without the mark of the menu key."""
    return words.replace("&", "")


def add_actions(window: QMainWindow, commands: object, recent: QMenu) -> dict[str, QAction]:
    """Fill the menu bar of ``window`` with actions that call methods of ``commands`` or of the window.

    Returns the actions by the name of what they call.
    """
    made: dict[str, QAction] = {}
    menus: dict[str, QMenu] = {}
    for row in ACTIONS:
        if row.menu not in menus:
            menus[row.menu] = window.menuBar().addMenu(tr(row.menu))
        action = QAction(tr(row.words), window)
        action.setStatusTip(tr(row.tip))
        action.setToolTip(tr(row.tip))
        if row.shortcut:
            action.setShortcut(QKeySequence(row.shortcut))
        note_actions, library = getattr(window, "note_actions", None), getattr(window, "library", None)
        helping, routes = getattr(window, "help", None), getattr(window, "routes", None)
        imports, weeks = getattr(library, "imports", None), getattr(window, "weeks", None)
        if row.room:
            action.triggered.connect(partial(_act, window, f"{row.room}.{row.slot}"))
        else:
            owners = (commands, note_actions, library, weeks, imports, helping, routes, window)
            owner = next(each for each in owners if hasattr(each, row.slot))
            action.triggered.connect(getattr(owner, row.slot))
        menus[row.menu].addAction(action)
        made[row.slot] = action
        if row.slot == RECENT_AFTER:
            menus[row.menu].addMenu(recent)
    return made


def _act(window: QMainWindow, path: str, _checked: bool = False) -> None:
    """Call a method of a part of the window, which is made now if this is the first of its acts."""
    attrgetter(path)(window)()
