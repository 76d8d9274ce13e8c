"""The actions on an outing: editing, viewing, its band and its notes."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.window.shell.action_row import ActionRow

EDIT = mark("&Edit")
VIEW = mark("&View")
OUTING = mark("&Outing")
NOTES = mark("&Notes")

OUTING_ACTIONS = (
    ActionRow(
        EDIT,
        mark("&Undo"),
        "Ctrl+Z",
        "undo",
        mark("Take back the last change of notes, doubts, aim, titles, bands or entries with dates."),
    ),
    ActionRow(EDIT, mark("&Redo"), "Ctrl+Shift+Z", "redo", mark("Do again what was taken back.")),
    ActionRow(
        EDIT,
        mark("Doubtful &start here"),
        "Ctrl+Shift+S",
        "mark_start",
        mark("Doubt the heart rate from the cursor on."),
    ),
    ActionRow(
        EDIT,
        mark("Doubtful &end here"),
        "Ctrl+Shift+E",
        "mark_end",
        mark("Doubt the heart rate up to the cursor."),
    ),
    ActionRow(
        EDIT,
        mark("&Preferences…"),
        "Ctrl+,",
        "show_preferences",
        mark("Choose units, look, text size and language."),
    ),
    ActionRow(VIEW, mark("Zoom &in"), "Ctrl++", "zoom_in", mark("Show less of the outing, larger.")),
    ActionRow(VIEW, mark("Zoom &out"), "Ctrl+-", "zoom_out", mark("Show more of the outing.")),
    ActionRow(
        VIEW, mark("&Whole outing"), "Ctrl+0", "whole_outing", mark("Show the outing from end to end.")
    ),
    ActionRow(VIEW, mark("Pan &left"), "Alt+Left", "pan_left", mark("Move the charts to an earlier time.")),
    ActionRow(VIEW, mark("Pan &right"), "Alt+Right", "pan_right", mark("Move the charts to a later time.")),
    ActionRow(
        VIEW,
        mark("Cursor to &earlier"),
        "Ctrl+Left",
        "cursor_back",
        mark("Move the cursor back by one record."),
    ),
    ActionRow(
        VIEW, mark("Cursor to la&ter"), "Ctrl+Right", "cursor_on", mark("Move the cursor on by one record.")
    ),
    ActionRow(
        VIEW,
        mark("Cursor back a &minute"),
        "Ctrl+Shift+Left",
        "cursor_back_far",
        mark("Move the cursor back by a minute."),
    ),
    ActionRow(
        VIEW,
        mark("Cursor on a m&inute"),
        "Ctrl+Shift+Right",
        "cursor_on_far",
        mark("Move the cursor on by a minute."),
    ),
    ActionRow(
        VIEW,
        mark("&Along time or distance"),
        "Ctrl+T",
        "switch_along",
        mark("Let the charts run along distance instead of time, or back."),
    ),
    ActionRow(
        VIEW,
        mark("&Speed, vertical speed or unexplained"),
        "Ctrl+R",
        "switch_rate",
        mark("Show the next quantity in the lowest chart."),
    ),
    ActionRow(
        VIEW,
        mark("&Fitted heart rate"),
        "Ctrl+F",
        "switch_fitted",
        mark("Show or hide the fitted heart rate."),
    ),
    ActionRow(
        VIEW,
        mark("Ne&xt stretch"),
        "Ctrl+Down",
        "next_stretch",
        mark("Go to the next stretch of the part or cause that is selected."),
    ),
    ActionRow(
        VIEW,
        mark("Pre&vious stretch"),
        "Ctrl+Up",
        "previous_stretch",
        mark("Go to the stretch before, of the part or cause that is selected."),
    ),
    ActionRow(
        VIEW,
        mark("C&lear selection"),
        "Esc",
        "clear_selection",
        mark("Unselect the climb, episode or stretch."),
    ),
    ActionRow(
        OUTING, mark("Choose the &band…"), "Ctrl+B", "ask_for_band", mark("Go to where the band is entered.")
    ),
    ActionRow(
        OUTING,
        mark("&Upper edge up"),
        "Alt+Up",
        "upper_edge_up",
        mark("Raise the upper edge of the band by 1 bpm."),
    ),
    ActionRow(
        OUTING,
        mark("Upper edge &down"),
        "Alt+Down",
        "upper_edge_down",
        mark("Lower the upper edge of the band by 1 bpm."),
    ),
    ActionRow(
        OUTING,
        mark("&Lower edge up"),
        "Alt+Shift+Up",
        "lower_edge_up",
        mark("Raise the lower edge of the band by 1 bpm."),
    ),
    ActionRow(
        OUTING,
        mark("Lo&wer edge down"),
        "Alt+Shift+Down",
        "lower_edge_down",
        mark("Lower the lower edge of the band by 1 bpm."),
    ),
    ActionRow(
        OUTING,
        mark("&Next recording"),
        "Ctrl+PgDown",
        "next_recording",
        mark("Show the next of the recordings that are open, or the next outing of the list."),
    ),
    ActionRow(
        OUTING,
        mark("&Previous recording"),
        "Ctrl+PgUp",
        "previous_recording",
        mark("Show the recording before, of those that are open or in the list."),
    ),
    ActionRow(
        OUTING,
        mark("&Reviewed, on to the next"),
        "Ctrl+J",
        "tick_and_go_on",
        mark("Tick the outing off and open the next of the week that is to be reviewed."),
    ),
    ActionRow(
        OUTING,
        mark("R&eviewed or not"),
        "Ctrl+Shift+J",
        "tick_reviewed",
        mark("Tick the outing off, or take its tick back."),
    ),
    ActionRow(
        OUTING,
        mark("Change the &title"),
        "F2",
        "change_title",
        mark("Type another title for the outing shown or selected."),
    ),
    ActionRow(
        OUTING, mark("Copy &summary"), "", "copy_summary", mark("Copy the answer as text."), room="handing_on"
    ),
    ActionRow(
        OUTING,
        mark("Copy p&icture"),
        "",
        "copy_picture",
        mark("Copy the charts with title, band and answer as a picture."),
        room="handing_on",
    ),
    ActionRow(
        OUTING,
        mark("Copy table of &climbs"),
        "",
        "copy_climbs",
        mark("Copy the climbs for a spreadsheet."),
        room="handing_on",
    ),
    ActionRow(
        OUTING,
        mark("Copy table of &episodes"),
        "",
        "copy_episodes",
        mark("Copy the episodes for a spreadsheet."),
        room="handing_on",
    ),
    ActionRow(NOTES, mark("&Note here"), "Ctrl+N", "note_here", mark("Write a note at the cursor.")),
    ActionRow(
        NOTES,
        mark("Note &from here"),
        "Ctrl+Shift+N",
        "note_from_here",
        mark("Begin the stretch of a note at the cursor."),
    ),
    ActionRow(
        NOTES,
        mark("Note up &to here"),
        "Ctrl+Shift+U",
        "note_to_here",
        mark("End the stretch of the note at the cursor."),
    ),
    ActionRow(
        NOTES,
        mark("Note on the &selection"),
        "Ctrl+Shift+L",
        "note_on_selection",
        mark("Write a note on the climb, episode or stretch that is selected."),
    ),
    ActionRow(
        NOTES,
        mark("Note on the &view"),
        "Ctrl+Shift+V",
        "note_on_view",
        mark("Write a note on the stretch the charts show."),
    ),
    ActionRow(
        NOTES,
        mark("Note on the &outing"),
        "Ctrl+Shift+W",
        "note_on_outing",
        mark("Write a note on the whole outing."),
    ),
)
