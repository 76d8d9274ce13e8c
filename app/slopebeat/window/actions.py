"""Every action of the window as data: menus, shortcuts and the list of shortcuts come from here."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu


@dataclass(frozen=True)
class ActionRow:
    """One action: menu, words, shortcut, name of the method it calls, explanation."""

    menu: str
    words: str
    shortcut: str
    slot: str
    tip: str


ACTIONS = (
    ActionRow("&File", "&Open a recording…", "Ctrl+O", "open_dialog", "Open FIT, GPX or TCX files"),
    ActionRow("&File", "See the &demo outings", "Ctrl+D", "open_demo", "Open three invented outings"),
    ActionRow("&File", "Save &report…", "Ctrl+S", "save_report", "One A4 page as PDF or HTML"),
    ActionRow("&File", "Save &tables as CSV…", "", "save_tables", "Samples, climbs, episodes and notes"),
    ActionRow("&File", "Save &picture…", "", "save_picture", "Heart rate and elevation as PNG or SVG"),
    ActionRow("&File", "&Cancel reading", "Ctrl+.", "cancel_reading", "Stop reading; what is open stays"),
    ActionRow("&File", "&Quit", "Ctrl+Q", "close", "Close the program"),
    ActionRow("&Edit", "&Undo", "Ctrl+Z", "undo", "Take back the last change of aim or doubts"),
    ActionRow("&Edit", "&Redo", "Ctrl+Shift+Z", "redo", "Do again what was taken back"),
    ActionRow(
        "&Edit", "Doubtful &start here", "Ctrl+Shift+S", "mark_start", "Doubt heart rate from the cursor"
    ),
    ActionRow("&Edit", "Doubtful &end here", "Ctrl+Shift+E", "mark_end", "Doubt heart rate up to the cursor"),
    ActionRow("&View", "Zoom &in", "Ctrl++", "zoom_in", "Show less of the outing, larger"),
    ActionRow("&View", "Zoom &out", "Ctrl+-", "zoom_out", "Show more of the outing"),
    ActionRow("&View", "&Whole outing", "Ctrl+0", "whole_outing", "Show the outing from end to end"),
    ActionRow("&View", "Pan &left", "Alt+Left", "pan_left", "Move to earlier"),
    ActionRow("&View", "Pan &right", "Alt+Right", "pan_right", "Move to later"),
    ActionRow("&View", "Cursor to &earlier", "Ctrl+Left", "cursor_back", "Cursor back by a record"),
    ActionRow("&View", "Cursor to la&ter", "Ctrl+Right", "cursor_on", "Cursor on by a record"),
    ActionRow("&View", "Cursor back a &minute", "Ctrl+Shift+Left", "cursor_back_far", "Cursor back by 60 s"),
    ActionRow("&View", "Cursor on a m&inute", "Ctrl+Shift+Right", "cursor_on_far", "Cursor on by 60 s"),
    ActionRow(
        "&View", "&Along time or distance", "Ctrl+T", "switch_along", "Switch what the charts run along"
    ),
    ActionRow("&View", "&Speed, vertical speed or residual", "Ctrl+R", "switch_rate", "Next lowest chart"),
    ActionRow("&View", "&Fitted heart rate", "Ctrl+F", "switch_fitted", "Show or hide the fitted line"),
    ActionRow("&View", "C&lear selection", "Esc", "clear_selection", "Unselect the climb or episode"),
    ActionRow("&Outing", "Choose the &band…", "Ctrl+B", "ask_for_band", "Go to where the band is entered"),
    ActionRow("&Outing", "&Next recording", "Ctrl+PgDown", "next_recording", "The next of those opened"),
    ActionRow("&Outing", "&Previous recording", "Ctrl+PgUp", "previous_recording", "The one before"),
    ActionRow("&Outing", "Copy &summary", "", "copy_summary", "The answer as text"),
    ActionRow("&Outing", "Copy table of &climbs", "", "copy_climbs", "For a spreadsheet"),
    ActionRow("&Outing", "Copy table of &episodes", "", "copy_episodes", "For a spreadsheet"),
    ActionRow("&Library", "&Show the library", "Ctrl+L", "show_library", "The list of outings"),
    ActionRow("&Library", "Show the &months", "Ctrl+M", "show_months", "Weeks and trends"),
    ActionRow("&Library", "Show the &outing", "Ctrl+E", "show_outing", "Back to the outing that is open"),
    ActionRow("&Library", "&Keep this outing", "Ctrl+K", "keep_outing", "Put what is open into the library"),
    ActionRow("&Library", "&Import files…", "Ctrl+I", "import_files", "Bring recordings or archives in"),
    ActionRow("&Library", "Import a &folder…", "Ctrl+Shift+I", "import_folder", "With all folders in it"),
    ActionRow("&Library", "Com&pare two outings", "Ctrl+Shift+C", "compare_outings", "Two selected outings"),
    ActionRow("&Library", "&Bands…", "Ctrl+Shift+B", "show_bands", "Bands in force over time"),
    ActionRow("&Library", "&Add an athlete…", "", "add_athlete", "Whose outings are kept"),
    ActionRow("&Library", "Open or create &another…", "Ctrl+Shift+O", "other_library", "Another library"),
    ActionRow("&Library", "Open &your own", "", "my_library", "Your library, after a demo"),
    ActionRow("&Library", "Open the &demo library", "Ctrl+Shift+D", "demo_library", "Half a year, invented"),
    ActionRow("&Help", "&Shortcuts…", "F1", "show_shortcuts", "List of shortcuts"),
    ActionRow("&Help", "&About Slopebeat…", "", "show_about", "What it is, and cautions"),
)

RECENT_AFTER = "open_demo"
"""The menu of recent files comes after this action."""


def plain(words: str) -> str:
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
            menus[row.menu] = window.menuBar().addMenu(row.menu)
        action = QAction(row.words, window)
        action.setStatusTip(row.tip)
        action.setToolTip(row.tip)
        if row.shortcut:
            action.setShortcut(QKeySequence(row.shortcut))
        owners = (commands, getattr(window, "desk", None), getattr(window, "handing_on", None), window)
        owner = next(each for each in owners if hasattr(each, row.slot))
        action.triggered.connect(getattr(owner, row.slot))
        menus[row.menu].addAction(action)
        made[row.slot] = action
        if row.slot == RECENT_AFTER:
            menus[row.menu].addMenu(recent)
    return made
