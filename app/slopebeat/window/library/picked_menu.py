"""What can be done with the outings picked in the list; each act is taken back by the same menu or undo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from slopebeat.model.language import tr

if TYPE_CHECKING:
    from slopebeat.window.library.list import OutingsTable


def picked_menu(table: OutingsTable) -> QMenu:
    """The menu of what is picked in a list."""
    menu, picked, rows = QMenu(table), table.picked, table.picked_rows
    days = {row.day for row in rows}
    one_day = len(days) == 1 and None not in days
    if len(picked) > 1:
        menu.addAction(tr("Open together"), lambda: table.together_wanted.emit(picked))
        if not one_day:
            menu.addAction(tr("Make one outing of them"), lambda: table.joined_wanted.emit(picked, True))
    if any(row.day is not None for row in rows):
        menu.addAction(tr("Keep apart from the other parts"), lambda: table.joined_wanted.emit(picked, False))
    menu.addSeparator()
    teaches = any(row.teaches for row in rows)
    name = tr("Leave out of what is learnt") if teaches else tr("Let teach again")
    menu.addAction(name, lambda: table.teaching_wanted.emit(picked, not teaches))
    return menu
