"""The actions on files, the library and the program."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.window.shell.action_row import ActionRow

FILE = mark("&File")
LIBRARY = mark("&Library")
HELP = mark("&Help")

FILE_ACTIONS = (
    ActionRow(FILE, mark("&Open a recording…"), "Ctrl+O", "open_dialog", mark("Open FIT, GPX or TCX files.")),
    ActionRow(
        FILE, mark("See the &demo outings"), "Ctrl+D", "open_demo", mark("Open three invented outings.")
    ),
    ActionRow(
        FILE,
        mark("Save &report…"),
        "Ctrl+S",
        "save_shown",
        mark("Save the page that is shown: the outing, the week, the months or a letter."),
        room="handing_on",
    ),
    ActionRow(
        FILE,
        mark("Save &tables as CSV…"),
        "",
        "save_tables",
        mark("Save samples, climbs, episodes, splits and notes as CSV files."),
        room="handing_on",
    ),
    ActionRow(
        FILE,
        mark("Save &picture…"),
        "",
        "save_picture",
        mark("Save the charts with title, band and answer as a picture."),
        room="handing_on",
    ),
    ActionRow(
        FILE,
        mark("&Cancel reading"),
        "Ctrl+.",
        "cancel_reading",
        mark("Stop reading; what is open stays open."),
    ),
    ActionRow(FILE, mark("&Quit"), "Ctrl+Q", "close", mark("Close the program.")),
)

LIBRARY_ACTIONS = (
    ActionRow(
        LIBRARY, mark("&Show the library"), "Ctrl+L", "show_library", mark("Show the list of outings.")
    ),
    ActionRow(
        LIBRARY, mark("Show the wee&k"), "Ctrl+Shift+M", "show_week", mark("Show a row for every athlete.")
    ),
    ActionRow(LIBRARY, mark("Show the &months"), "Ctrl+M", "show_months", mark("Show weeks and trends.")),
    ActionRow(
        LIBRARY,
        mark("Show the &outing"),
        "Ctrl+E",
        "show_outing",
        mark("Go back to the outing that is open."),
    ),
    ActionRow(
        LIBRARY,
        mark("&Keep this outing"),
        "Ctrl+K",
        "keep_outing",
        mark("Put the outing that is open into the library."),
    ),
    ActionRow(
        LIBRARY,
        mark("&Import files…"),
        "Ctrl+I",
        "import_files",
        mark("Bring recordings or archives into the library."),
    ),
    ActionRow(
        LIBRARY,
        mark("Import a &folder…"),
        "Ctrl+Shift+I",
        "import_folder",
        mark("Bring a folder into the library, with all folders in it."),
    ),
    ActionRow(
        LIBRARY,
        mark("&Watched folder…"),
        "",
        "watched_folder",
        mark("Import by itself what is new in a folder."),
    ),
    ActionRow(
        LIBRARY,
        mark("P&lan a route…"),
        "Ctrl+Shift+P",
        "plan_route",
        mark("Foretell time, heart rate and speeds on a GPX route."),
    ),
    ActionRow(
        LIBRARY,
        mark("Show the planned &way"),
        "Ctrl+Shift+R",
        "show_route",
        mark("Go back to the planned way."),
    ),
    ActionRow(
        LIBRARY,
        mark("Com&pare two outings"),
        "Ctrl+Shift+C",
        "compare_outings",
        mark("Show the two selected outings side by side."),
    ),
    ActionRow(
        LIBRARY,
        mark("&Bands…"),
        "Ctrl+Shift+B",
        "show_bands",
        mark("Show and change the bands in force over time."),
    ),
    ActionRow(
        LIBRARY,
        mark("At&hletes…"),
        "Ctrl+Shift+A",
        "show_athletes",
        mark("Show everybody in the library; rename, make two one, remove."),
    ),
    ActionRow(
        LIBRARY, mark("&Add an athlete…"), "", "add_athlete", mark("Add a person whose outings are kept.")
    ),
    ActionRow(
        LIBRARY,
        mark("Open or create &another…"),
        "Ctrl+Shift+O",
        "other_library",
        mark("Open or create another library."),
    ),
    ActionRow(
        LIBRARY, mark("Open &your own"), "", "my_library", mark("Open your own library again after a demo.")
    ),
    ActionRow(
        LIBRARY,
        mark("Open the &demo library"),
        "Ctrl+Shift+D",
        "demo_library",
        mark("Open half a year of invented outings."),
    ),
    ActionRow(
        LIBRARY,
        mark("Sa&ve an archive…"),
        "",
        "save_archive",
        mark("Save everything of one athlete in one file."),
        room="handing_on",
    ),
    ActionRow(
        LIBRARY,
        mark("&Take in an archive…"),
        "",
        "take_in_archive",
        mark("Take in the archive of another person."),
        room="handing_on",
    ),
    ActionRow(
        LIBRARY,
        mark("Back &up the library…"),
        "",
        "back_up_library",
        mark("Save all of the library in one file."),
        room="library.safety",
    ),
    ActionRow(
        LIBRARY,
        mark("&Check the library"),
        "",
        "check_library",
        mark("Look for damage in the library."),
        room="library.safety",
    ),
    ActionRow(
        LIBRARY,
        mark("&Restore the library…"),
        "",
        "restore_library",
        mark("Restore the library from a backup; you are asked first."),
        room="library.safety",
    ),
)

HELP_ACTIONS = (
    ActionRow(HELP, mark("&User guide"), "Ctrl+F1", "show_guide", mark("Read how to work with the program.")),
    ActionRow(
        HELP,
        mark("Explain the &figures"),
        "",
        "explain_figures",
        mark("Read what every figure on screen is."),
    ),
    ActionRow(
        HELP,
        mark("&Explain this figure"),
        "Shift+F1",
        "explain_this",
        mark("Explain the figure that has the focus or lies under the mouse."),
    ),
    ActionRow(HELP, mark("&Shortcuts…"), "F1", "show_shortcuts", mark("Show this list of shortcuts.")),
    ActionRow(
        HELP, mark("&About Slopebeat…"), "", "show_about", mark("Read what the program is, and its cautions.")
    ),
)
