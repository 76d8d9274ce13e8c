"""Sentences of errors, and of what readers and the library find.

An error is a whole sentence wherever it is caught, also below ``review``, so its text stands here.
"""

from __future__ import annotations

from collections.abc import Mapping

from slopebeat.model.language import mark
from slopebeat.model.measures import figure, shortest_number
from slopebeat.model.message import Message
from slopebeat.model.sentences.files import FILES
from slopebeat.model.sentences.wording import TENTH, Wording, worded

LIBRARY: Mapping[str, str | Wording] = {
    "library.already_there": mark("{path} is already there; a new library needs a name of its own."),
    "library.backup_onto_itself": mark("A backup needs another file than the library itself."),
    "library.busy": mark(
        "{path} is being written to by another program. Wait until that is done and try again."
    ),
    "library.damage_found": mark("The library is damaged: {text}."),
    "library.damaged": mark("{path} is damaged. Restore it from a backup."),
    "library.damaged_athlete": mark(
        "What the library keeps of the athlete {name} is damaged ({what}); enter it again."
    ),
    "library.damaged_backup": mark("{backup} is damaged; nothing was restored."),
    "library.damaged_original": mark("The original file of {names} is damaged."),
    "library.damaged_originals": mark(
        "{backup} holds original files that are damaged; nothing was restored. What else it holds"
        " can be restored."
    ),
    "library.denied": mark("{path} may not be opened: permission was denied."),
    "library.disk_fault": mark(
        "{path} could not be read or written: the disk reported a fault. It was left as it was."
    ),
    "library.disk_full": mark("The disk is full: {path} was left as it was. Make room and try again."),
    "library.file_too_large": mark("The file is too large to be kept in {path}."),
    "library.folder": mark("{path} is a folder; give the name of a library in it."),
    "library.later_version": mark(
        "{path} was written by a later version of this program (its layout is {version}, this "
        "version knows up to {newest}). Update the program to open it; nothing was changed."
    ),
    "library.locked": mark("{path} is being written to elsewhere. Wait until that is done and try again."),
    "library.lost_athlete": mark("The athlete {name} is damaged in the library and is left out."),
    "library.lost_band": mark(
        "A band of the library ({lower}-{upper} bpm, from {day}) is damaged and is left out."
    ),
    "library.lost_dated": mark(
        "A prescription, body mass or phase of the library (from {day}) is damaged and is left out; "
        "enter it again."
    ),
    "library.lost_ground": mark(
        "Something kept of ground gone before is damaged and is left out; it can be found again."
    ),
    "library.lost_marks": mark("Marks kept on an outing are damaged and do not count."),
    "library.lost_note": mark("A note in the library is damaged and is left out; its text reads: {text}"),
    "library.lost_original": mark(
        "An original file in the library is damaged; restore the library from a backup."
    ),
    "library.lost_outing": mark("The outing of {file} is damaged in the library and is left out."),
    "library.lost_result": mark(
        "The result kept of {title} is damaged; it is computed anew from the file kept of it."
    ),
    "library.lost_tick": mark(
        "A tick in the library is damaged ({when}); its outing counts as not reviewed yet."
    ),
    "library.lost_way": mark(
        "The way kept of {title} is damaged; it is not looked at for ground gone before."
    ),
    "library.nameless": mark("An athlete needs a name."),
    "library.no_backup": mark(
        "{path} is no backup of a library and is not written over; choose another name."
    ),
    "library.no_folder": mark("{path} cannot be opened: its folder is missing or may not be written to."),
    "library.no_library": mark("{path} is not a library of this program."),
    "library.not_opened": mark("{path} cannot be opened: {reason}."),
    "library.not_there": mark("There is no library at {path}."),
    "library.orphans": mark("{count} rows belong to something that is gone."),
    "library.read_only": mark(
        "{path} may not be written to. Copy it to a folder of your own and open it there."
    ),
    "library.phase_backwards": mark("A phase ends on the day it begins, or later."),
    "library.restore_from_itself": mark("A library cannot be restored from itself; choose a backup of it."),
    "library.same_name": mark("There is already an athlete named {name}."),
    "library.unknown_mark": mark(
        "The library holds a mark this version does not know ({unknown}); update the program."
    ),
    "library.unknown_method": mark(
        "The library holds a band found in a way this version does not know ({method}); update the program."
    ),
    "library.unknown_note": mark(
        "A note is of a kind this version does not know ({kind}); update the program."
    ),
    "library.unusable": mark("{path} cannot be used: {reason}."),
    "notebook.damaged": mark(
        "The notes kept on this recording are damaged; they were set aside as {path} and a new "
        "notebook was begun."
    ),
    "notebook.later_version": mark(
        "The notes on this recording were written by a later version of this program. Update the "
        "program to read {path}; nothing was changed."
    ),
    "notebook.lost_decisions": mark("Load and title kept on this recording are damaged and do not count."),
    "notebook.not_kept": mark("The notes on this recording cannot be kept in {path}: {reason}."),
    "notebook.unusable": mark("What is written on recordings outside a library cannot be kept: {reason}"),
}
"""By key."""


def lactate(mmol_l: float) -> str:
    """A concentration with its unit."""
    return f"{shortest_number(float(f'{mmol_l:.2g}'))} mmol/L"


_ANALYSIS: Mapping[str, str | Wording] = {
    "not_plausible": Wording(
        mark("{what} of {value} {unit} is not plausible; give one from {low} to {high}."),
        {"value": shortest_number, "low": shortest_number, "high": shortest_number},
    ),
    "hr_max.no_such_age": Wording(
        mark("A formula for maximal heart rate needs an age from {low} to {high} years; {age} is not one."),
        {"low": figure, "high": figure, "age": shortest_number},
    ),
    "step_test.few_stages": mark("A step test needs at least {least} stages; there are {count}."),
    "step_test.resting_lactate": mark("The resting lactate"),
    "step_test.stage_lactate": mark("In stage {number} a lactate"),
    "step_test.stage_heart_rate": mark("In stage {number} a heart rate"),
    "step_test.no_load": mark("Stage {number} needs a load above 0 {unit}; rest is entered apart."),
    "step_test.no_harder": mark(
        "The load has to rise from stage to stage; stage {number} is no harder than the last."
    ),
    "step_test.lactate_falls": Wording(
        mark("Lactate falls by {fall} mmol/L to stage {number}; check the two readings."), {"fall": TENTH}
    ),
    "step_test.heart_rate_falls": Wording(
        mark("Heart rate falls by {fall} bpm to stage {number}; check the two readings."), {"fall": figure}
    ),
    "lactate.not_reached": Wording(
        mark("The test ended before lactate reached {value}."), {"value": lactate}
    ),
    "lactate.always_over": Wording(
        mark("Lactate was over {value} in every stage: start easier."), {"value": lactate}
    ),
    "plan.too_long": Wording(
        mark("The way takes about {hours} hours of moving, more than one outing; plan it in stages."),
        {"hours": figure},
    ),
}

SENTENCES: Mapping[str, str | Wording] = {**_ANALYSIS, **FILES, **LIBRARY}
"""By key."""


def sentence(message: Message) -> str:
    """A message in the language in force."""
    return worded(message, SENTENCES)
