"""Every action of the window as data: menus, shortcuts and the list of shortcuts come from here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from operator import attrgetter

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from slopebeat.model.language import mark, tr

RECENT_AFTER = "open_demo"
"""The menu of recent files comes after this action."""


@dataclass(frozen=True)
class Action:
    """One action: words, what it does in a whole sentence, the way to the method it calls, shortcut, menu.

    The catalogue takes up the first two; the shortcut is Qt's portable text. The way begins at the window:
    what lies on it may be made with the first of its acts.
    """

    words: str
    tip: str
    way: str
    shortcut: str = ""
    menu: str = ""

    @property
    def slot(self) -> str:
        """The name of the method."""
        return self.way.rpartition(".")[2]


def _menu(menu: str, part: str, *rows: Action) -> tuple[Action, ...]:
    """The rows of a menu; a bare method is one of this part of the window, one after a dot of the window."""
    ways = (row.way if "." in row.way else f"{part}.{row.way}" for row in rows)
    return tuple(replace(row, menu=menu, way=way.strip(".")) for row, way in zip(rows, ways, strict=True))


FILE = _menu(
    mark("&File"),
    "",
    Action("&Open a recording…", "Open FIT, GPX or TCX files.", "open_dialog", "Ctrl+O"),
    Action("See the &demo outings", "Open three invented outings.", "open_demo", "Ctrl+D"),
    Action(
        "Save &report…",
        "Save the page that is shown: the outing, the week, the months or a letter.",
        "export_actions.save_shown",
        "Ctrl+S",
    ),
    Action(
        "Save &tables as CSV…",
        "Save samples, climbs, episodes, splits and notes as CSV files.",
        "export_actions.save_tables",
    ),
    Action(
        "Save &picture…",
        "Save the charts with title, band and answer as a picture.",
        "export_actions.save_picture",
    ),
    Action("&Cancel reading", "Stop reading; what is open stays open.", "commands.cancel_reading", "Ctrl+."),
    Action("&Quit", "Close the program.", "close", "Ctrl+Q"),
)

EDIT = _menu(
    mark("&Edit"),
    "commands",
    Action(
        "&Undo",
        "Take back the last change of notes, doubts, aim, titles, bands or entries with dates.",
        "undo",
        "Ctrl+Z",
    ),
    Action("&Redo", "Do again what was taken back.", "redo", "Ctrl+Shift+Z"),
    Action("Doubtful &start here", "Doubt the heart rate from the cursor on.", "mark_start", "Ctrl+Shift+S"),
    Action("Doubtful &end here", "Doubt the heart rate up to the cursor.", "mark_end", "Ctrl+Shift+E"),
    Action("&Preferences…", "Choose units, look, text size and language.", ".show_preferences", "Ctrl+,"),
)

VIEW = _menu(
    mark("&View"),
    "commands",
    Action("Zoom &in", "Show less of the outing, larger.", "zoom_in", "Ctrl++"),
    Action("Zoom &out", "Show more of the outing.", "zoom_out", "Ctrl+-"),
    Action("&Whole outing", "Show the outing from end to end.", "whole_outing", "Ctrl+0"),
    Action("Pan &left", "Move the charts to an earlier time.", "pan_left", "Alt+Left"),
    Action("Pan &right", "Move the charts to a later time.", "pan_right", "Alt+Right"),
    Action("Cursor to &earlier", "Move the cursor back by one record.", "cursor_back", "Ctrl+Left"),
    Action("Cursor to la&ter", "Move the cursor on by one record.", "cursor_on", "Ctrl+Right"),
    Action(
        "Cursor back a &minute", "Move the cursor back by a minute.", "cursor_back_far", "Ctrl+Shift+Left"
    ),
    Action("Cursor on a m&inute", "Move the cursor on by a minute.", "cursor_on_far", "Ctrl+Shift+Right"),
    Action(
        "&Along time or distance",
        "Let the charts run along distance instead of time, or back.",
        "switch_along",
        "Ctrl+T",
    ),
    Action(
        "&Speed, vertical speed or unexplained",
        "Show the next quantity in the lowest chart.",
        "switch_rate",
        "Ctrl+R",
    ),
    Action("&Fitted heart rate", "Show or hide the fitted heart rate.", "switch_fitted", "Ctrl+F"),
    Action(
        "Ne&xt stretch",
        "Go to the next stretch of the part or cause that is selected.",
        "next_stretch",
        "Ctrl+Down",
    ),
    Action(
        "Pre&vious stretch",
        "Go to the stretch before, of the part or cause that is selected.",
        "previous_stretch",
        "Ctrl+Up",
    ),
    Action("C&lear selection", "Unselect the climb, episode or stretch.", "clear_selection", "Esc"),
)

OUTING = _menu(
    mark("&Outing"),
    "commands",
    Action("Choose the &band…", "Go to where the band is entered.", ".ask_for_band", "Ctrl+B"),
    Action("&Upper edge up", "Raise the upper edge of the band by 1 bpm.", "upper_edge_up", "Alt+Up"),
    Action("Upper edge &down", "Lower the upper edge of the band by 1 bpm.", "upper_edge_down", "Alt+Down"),
    Action("&Lower edge up", "Raise the lower edge of the band by 1 bpm.", "lower_edge_up", "Alt+Shift+Up"),
    Action(
        "Lo&wer edge down", "Lower the lower edge of the band by 1 bpm.", "lower_edge_down", "Alt+Shift+Down"
    ),
    Action(
        "&Next recording",
        "Show the next of the recordings that are open, or the next outing of the list.",
        "next_recording",
        "Ctrl+PgDown",
    ),
    Action(
        "&Previous recording",
        "Show the recording before, of those that are open or in the list.",
        "previous_recording",
        "Ctrl+PgUp",
    ),
    Action(
        "&Reviewed, on to the next",
        "Tick the outing off and open the next of the week that is to be reviewed.",
        "weeks.tick_and_go_on",
        "Ctrl+J",
    ),
    Action(
        "R&eviewed or not",
        "Tick the outing off, or take its tick back.",
        "weeks.tick_reviewed",
        "Ctrl+Shift+J",
    ),
    Action(
        "Change the &title", "Type another title for the outing shown or selected.", ".change_title", "F2"
    ),
    Action("Copy &summary", "Copy the answer as text.", "export_actions.copy_summary"),
    Action(
        "Copy p&icture",
        "Copy the charts with title, band and answer as a picture.",
        "export_actions.copy_picture",
    ),
    Action("Copy table of &climbs", "Copy the climbs for a spreadsheet.", "export_actions.copy_climbs"),
    Action("Copy table of &episodes", "Copy the episodes for a spreadsheet.", "export_actions.copy_episodes"),
)

NOTES = _menu(
    mark("&Notes"),
    "note_actions",
    Action("&Note here", "Write a note at the cursor.", "note_here", "Ctrl+N"),
    Action("Note &from here", "Begin the stretch of a note at the cursor.", "note_from_here", "Ctrl+Shift+N"),
    Action("Note up &to here", "End the stretch of the note at the cursor.", "note_to_here", "Ctrl+Shift+U"),
    Action(
        "Note on the &selection",
        "Write a note on the climb, episode or stretch that is selected.",
        "note_on_selection",
        "Ctrl+Shift+L",
    ),
    Action(
        "Note on the &view", "Write a note on the stretch the charts show.", "note_on_view", "Ctrl+Shift+V"
    ),
    Action("Note on the &outing", "Write a note on the whole outing.", "note_on_outing", "Ctrl+Shift+W"),
)

LIBRARY = _menu(
    mark("&Library"),
    "library",
    Action("&Show the library", "Show the list of outings.", "show_library", "Ctrl+L"),
    Action("Show the wee&k", "Show a row for every athlete.", "weeks.show_week", "Ctrl+Shift+M"),
    Action("Show the &months", "Show weeks and trends.", "show_months", "Ctrl+M"),
    Action("Show the &outing", "Go back to the outing that is open.", "show_outing", "Ctrl+E"),
    Action(
        "&Keep this outing",
        "Put the outing that is open into the library.",
        "library.imports.keep_outing",
        "Ctrl+K",
    ),
    Action(
        "&Import files…",
        "Bring recordings or archives into the library.",
        "library.imports.import_files",
        "Ctrl+I",
    ),
    Action(
        "Import a &folder…",
        "Bring a folder into the library, with all folders in it.",
        "library.imports.import_folder",
        "Ctrl+Shift+I",
    ),
    Action("&Watched folder…", "Import by itself what is new in a folder.", "library.imports.watched_folder"),
    Action(
        "P&lan a route…",
        "Foretell time, heart rate and speeds on a GPX route.",
        "routes.plan_route",
        "Ctrl+Shift+P",
    ),
    Action("Show the planned &way", "Go back to the planned way.", "routes.show_route", "Ctrl+Shift+R"),
    Action(
        "Com&pare two outings",
        "Show the two selected outings side by side.",
        "compare_outings",
        "Ctrl+Shift+C",
    ),
    Action("&Bands…", "Show and change the bands in force over time.", "show_bands", "Ctrl+Shift+B"),
    Action(
        "At&hletes…",
        "Show everybody in the library; rename, make two one, remove.",
        "show_athletes",
        "Ctrl+Shift+A",
    ),
    Action("&Add an athlete…", "Add a person whose outings are kept.", "add_athlete"),
    Action("Open or create &another…", "Open or create another library.", "other_library", "Ctrl+Shift+O"),
    Action("Open &your own", "Open your own library again after a demo.", "my_library"),
    Action("Open the &demo library", "Open half a year of invented outings.", "demo_library", "Ctrl+Shift+D"),
    Action("Sa&ve an archive…", "Save everything of one athlete in one file.", "export_actions.save_archive"),
    Action(
        "&Take in an archive…", "Take in the archive of another person.", "export_actions.take_in_archive"
    ),
    Action("Back &up the library…", "Save all of the library in one file.", "library.safety.back_up_library"),
    Action("&Check the library", "Look for damage in the library.", "library.safety.check_library"),
    Action(
        "&Restore the library…",
        "Restore the library from a backup; you are asked first.",
        "library.safety.restore_library",
    ),
)

HELP = _menu(
    mark("&Help"),
    "help",
    Action("&User guide", "Read how to work with the program.", "show_guide", "Ctrl+F1"),
    Action("Explain the &figures", "Read what every figure on screen is.", "explain_figures"),
    Action(
        "&Explain this figure",
        "Explain the figure that has the focus or lies under the mouse.",
        "explain_this",
        "Shift+F1",
    ),
    Action("&Shortcuts…", "Show this list of shortcuts.", "show_shortcuts", "F1"),
    Action("&About Slopebeat…", "Read what the program is, and its cautions.", "show_about"),
)

ACTIONS: tuple[Action, ...] = (*FILE, *EDIT, *VIEW, *OUTING, *NOTES, *LIBRARY, *HELP)
"""In the order of the menus."""


def without_access_keys(words: str) -> str:
    """Words without the mark of the menu key."""
    return words.replace("&", "")


def add_actions(window: QMainWindow, recent: QMenu) -> dict[str, QAction]:
    """Fill the menu bar of ``window``; returns the actions by the name of the method they call."""
    made: dict[str, QAction] = {}
    menus: dict[str, QMenu] = {}
    for row in ACTIONS:
        if row.menu not in menus:
            menus[row.menu] = window.menuBar().addMenu(tr(row.menu))
        action = QAction(tr(row.words), window)
        action.setStatusTip(tr(row.tip))
        action.setToolTip(tr(row.tip))
        action.setShortcut(QKeySequence(row.shortcut))
        action.triggered.connect(partial(_act, window, row.way))
        menus[row.menu].addAction(action)
        made[row.slot] = action
        if row.slot == RECENT_AFTER:
            menus[row.menu].addMenu(recent)
    return made


def _act(window: QMainWindow, way: str, _checked: bool = False) -> None:
    """Call a method of a part of the window, which is made now if this is the first of its acts."""
    attrgetter(way)(window)()
