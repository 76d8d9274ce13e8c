"""Every action of the window as data: menus, shortcuts and the list of shortcuts come from here."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from slopebeat.model.language import mark, tr


@dataclass(frozen=True)
class ActionRow:
    """One action: menu, words, shortcut, name of the method it calls, explanation; texts are marked ones."""

    menu: str
    words: str
    shortcut: str
    slot: str
    tip: str


FILE = mark("&File")
EDIT = mark("&Edit")
VIEW = mark("&View")
OUTING = mark("&Outing")
NOTES = mark("&Notes")
LIBRARY = mark("&Library")
HELP = mark("&Help")

ACTIONS = (
    ActionRow(FILE, mark("&Open a recording…"), "Ctrl+O", "open_dialog", mark("Open FIT, GPX or TCX files")),
    ActionRow(
        FILE, mark("See the &demo outings"), "Ctrl+D", "open_demo", mark("Open three invented outings")
    ),
    ActionRow(FILE, mark("Save &report…"), "Ctrl+S", "save_report", mark("One A4 page as PDF or HTML")),
    ActionRow(
        FILE, mark("Save &tables as CSV…"), "", "save_tables", mark("Samples, climbs, episodes and notes")
    ),
    ActionRow(
        FILE, mark("Save &picture…"), "", "save_picture", mark("The charts with title, band and answer")
    ),
    ActionRow(
        FILE, mark("&Cancel reading"), "Ctrl+.", "cancel_reading", mark("Stop reading; what is open stays")
    ),
    ActionRow(FILE, mark("&Quit"), "Ctrl+Q", "close", mark("Close the program")),
    ActionRow(
        EDIT,
        mark("&Undo"),
        "Ctrl+Z",
        "undo",
        mark("Take back the last change of notes, doubts, aim or title"),
    ),
    ActionRow(EDIT, mark("&Redo"), "Ctrl+Shift+Z", "redo", mark("Do again what was taken back")),
    ActionRow(
        EDIT,
        mark("Doubtful &start here"),
        "Ctrl+Shift+S",
        "mark_start",
        mark("Doubt heart rate from the cursor"),
    ),
    ActionRow(
        EDIT,
        mark("Doubtful &end here"),
        "Ctrl+Shift+E",
        "mark_end",
        mark("Doubt heart rate up to the cursor"),
    ),
    ActionRow(
        EDIT, mark("&Preferences…"), "Ctrl+,", "show_preferences", mark("Units, look, text size, language")
    ),
    ActionRow(VIEW, mark("Zoom &in"), "Ctrl++", "zoom_in", mark("Show less of the outing, larger")),
    ActionRow(VIEW, mark("Zoom &out"), "Ctrl+-", "zoom_out", mark("Show more of the outing")),
    ActionRow(VIEW, mark("&Whole outing"), "Ctrl+0", "whole_outing", mark("Show the outing from end to end")),
    ActionRow(VIEW, mark("Pan &left"), "Alt+Left", "pan_left", mark("Move to earlier")),
    ActionRow(VIEW, mark("Pan &right"), "Alt+Right", "pan_right", mark("Move to later")),
    ActionRow(VIEW, mark("Cursor to &earlier"), "Ctrl+Left", "cursor_back", mark("Cursor back by a record")),
    ActionRow(VIEW, mark("Cursor to la&ter"), "Ctrl+Right", "cursor_on", mark("Cursor on by a record")),
    ActionRow(
        VIEW, mark("Cursor back a &minute"), "Ctrl+Shift+Left", "cursor_back_far", mark("Cursor back by 60 s")
    ),
    ActionRow(
        VIEW, mark("Cursor on a m&inute"), "Ctrl+Shift+Right", "cursor_on_far", mark("Cursor on by 60 s")
    ),
    ActionRow(
        VIEW,
        mark("&Along time or distance"),
        "Ctrl+T",
        "switch_along",
        mark("Switch what the charts run along"),
    ),
    ActionRow(
        VIEW, mark("&Speed, vertical speed or residual"), "Ctrl+R", "switch_rate", mark("Next lowest chart")
    ),
    ActionRow(
        VIEW, mark("&Fitted heart rate"), "Ctrl+F", "switch_fitted", mark("Show or hide the fitted line")
    ),
    ActionRow(
        VIEW,
        mark("Ne&xt stretch"),
        "Ctrl+Down",
        "next_stretch",
        mark("Of the part or cause that is selected"),
    ),
    ActionRow(
        VIEW,
        mark("Pre&vious stretch"),
        "Ctrl+Up",
        "previous_stretch",
        mark("Of the part or cause that is selected"),
    ),
    ActionRow(
        VIEW, mark("C&lear selection"), "Esc", "clear_selection", mark("Unselect the climb or episode")
    ),
    ActionRow(
        OUTING, mark("Choose the &band…"), "Ctrl+B", "ask_for_band", mark("Go to where the band is entered")
    ),
    ActionRow(
        OUTING, mark("&Upper edge up"), "Alt+Up", "upper_edge_up", mark("Upper end of the band by 1 bpm")
    ),
    ActionRow(
        OUTING,
        mark("Upper edge &down"),
        "Alt+Down",
        "upper_edge_down",
        mark("Upper end of the band by 1 bpm"),
    ),
    ActionRow(
        OUTING,
        mark("&Lower edge up"),
        "Alt+Shift+Up",
        "lower_edge_up",
        mark("Lower end of the band by 1 bpm"),
    ),
    ActionRow(
        OUTING,
        mark("Lo&wer edge down"),
        "Alt+Shift+Down",
        "lower_edge_down",
        mark("Lower end of the band by 1 bpm"),
    ),
    ActionRow(
        OUTING,
        mark("&Next recording"),
        "Ctrl+PgDown",
        "next_recording",
        mark("Of those opened, or in the list"),
    ),
    ActionRow(OUTING, mark("&Previous recording"), "Ctrl+PgUp", "previous_recording", mark("The one before")),
    ActionRow(
        OUTING,
        mark("&Reviewed, on to the next"),
        "Ctrl+J",
        "tick_and_go_on",
        mark("Tick off and open the next of the week"),
    ),
    ActionRow(
        OUTING, mark("Revie&wed or not"), "Ctrl+Shift+J", "tick_reviewed", mark("Tick off, or take it back")
    ),
    ActionRow(
        OUTING, mark("Change the &title"), "F2", "change_title", mark("Of the outing shown or selected")
    ),
    ActionRow(OUTING, mark("Copy &summary"), "", "copy_summary", mark("The answer as text")),
    ActionRow(
        OUTING, mark("Copy p&icture"), "", "copy_picture", mark("The charts with title, band and answer")
    ),
    ActionRow(OUTING, mark("Copy table of &climbs"), "", "copy_climbs", mark("For a spreadsheet")),
    ActionRow(OUTING, mark("Copy table of &episodes"), "", "copy_episodes", mark("For a spreadsheet")),
    ActionRow(NOTES, mark("&Note here"), "Ctrl+N", "note_here", mark("Write a note at the cursor")),
    ActionRow(NOTES, mark("Note &from here"), "Ctrl+Shift+N", "note_from_here", mark("Begin a stretch")),
    ActionRow(NOTES, mark("Note up &to here"), "Ctrl+Shift+U", "note_to_here", mark("End the stretch")),
    ActionRow(
        NOTES,
        mark("Note on the &selection"),
        "Ctrl+Shift+L",
        "note_on_selection",
        mark("On what is selected"),
    ),
    ActionRow(
        NOTES, mark("Note on the &view"), "Ctrl+Shift+V", "note_on_view", mark("On the visible stretch")
    ),
    ActionRow(NOTES, mark("Note on the &outing"), "Ctrl+Shift+W", "note_on_outing", mark("On all of it")),
    ActionRow(LIBRARY, mark("&Show the library"), "Ctrl+L", "show_library", mark("The list of outings")),
    ActionRow(LIBRARY, mark("Show the wee&k"), "Ctrl+Shift+M", "show_week", mark("A row for every athlete")),
    ActionRow(LIBRARY, mark("Show the &months"), "Ctrl+M", "show_months", mark("Weeks and trends")),
    ActionRow(
        LIBRARY, mark("Show the &outing"), "Ctrl+E", "show_outing", mark("Back to the outing that is open")
    ),
    ActionRow(
        LIBRARY, mark("&Keep this outing"), "Ctrl+K", "keep_outing", mark("Put what is open into the library")
    ),
    ActionRow(
        LIBRARY, mark("&Import files…"), "Ctrl+I", "import_files", mark("Bring recordings or archives in")
    ),
    ActionRow(
        LIBRARY, mark("Import a &folder…"), "Ctrl+Shift+I", "import_folder", mark("With all folders in it")
    ),
    ActionRow(
        LIBRARY,
        mark("&Watched folder…"),
        "",
        "watched_folder",
        mark("New recordings in it are imported by themselves"),
    ),
    ActionRow(
        LIBRARY,
        mark("P&lan a route…"),
        "Ctrl+Shift+P",
        "plan_route",
        mark("Time, heart rate and speeds on a GPX route"),
    ),
    ActionRow(
        LIBRARY, mark("Show the planned &way"), "Ctrl+Shift+R", "show_route", mark("Back to the route")
    ),
    ActionRow(
        LIBRARY, mark("Com&pare two outings"), "Ctrl+Shift+C", "compare_outings", mark("Two selected outings")
    ),
    ActionRow(LIBRARY, mark("&Bands…"), "Ctrl+Shift+B", "show_bands", mark("Bands in force over time")),
    ActionRow(LIBRARY, mark("&Add an athlete…"), "", "add_athlete", mark("Whose outings are kept")),
    ActionRow(
        LIBRARY, mark("Open or create &another…"), "Ctrl+Shift+O", "other_library", mark("Another library")
    ),
    ActionRow(LIBRARY, mark("Open &your own"), "", "my_library", mark("Your library, after a demo")),
    ActionRow(
        LIBRARY, mark("Open the &demo library"), "Ctrl+Shift+D", "demo_library", mark("Half a year, invented")
    ),
    ActionRow(LIBRARY, mark("Sa&ve an archive…"), "", "save_archive", mark("Everything of one athlete")),
    ActionRow(LIBRARY, mark("&Take in an archive…"), "", "take_in_archive", mark("Of another person")),
    ActionRow(LIBRARY, mark("Back &up the library…"), "", "back_up_library", mark("All of it, in one file")),
    ActionRow(LIBRARY, mark("&Check the library"), "", "check_library", mark("Look for damage in it")),
    ActionRow(
        LIBRARY, mark("&Restore the library…"), "", "restore_library", mark("From a backup; asks first")
    ),
    ActionRow(HELP, mark("&User guide"), "Ctrl+F1", "show_guide", mark("How to work with the program")),
    ActionRow(
        HELP, mark("Explain the &figures"), "", "explain_figures", mark("What every figure on screen is")
    ),
    ActionRow(
        HELP, mark("&Explain this figure"), "Shift+F1", "explain_this", mark("With the focus or the mouse")
    ),
    ActionRow(HELP, mark("&Shortcuts…"), "F1", "show_shortcuts", mark("List of shortcuts")),
    ActionRow(HELP, mark("&About Slopebeat…"), "", "show_about", mark("What it is, and cautions")),
)

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
        noting = getattr(window, "noting", None)
        desk, handing_on = getattr(window, "desk", None), getattr(window, "handing_on", None)
        helping, routes = getattr(window, "help", None), getattr(window, "routes", None)
        safety = getattr(desk, "safety", None)
        weeks = getattr(window, "weeks", None)
        owners = (
            commands,
            noting,
            desk,
            weeks,
            safety,
            handing_on,
            helping,
            routes,
            window,
        )
        owner = next(each for each in owners if hasattr(each, row.slot))
        action.triggered.connect(getattr(owner, row.slot))
        menus[row.menu].addAction(action)
        made[row.slot] = action
        if row.slot == RECENT_AFTER:
            menus[row.menu].addMenu(recent)
    return made
